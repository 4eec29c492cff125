//! Dialects of order: newest first, a second table below, several clocks side by side.

use crate::dialects::{Case, case};

const SPEED_LINE: &str = "Speed = vehicle_speed [km/h] 0:0 1:10 2:20 3:30";
const SPEED: &[&str] = &[SPEED_LINE];

pub fn orders() -> Vec<Case> {
    [newest_first(), out_of_order(), second_tables(), several_clocks()]
        .into_iter()
        .flatten()
        .collect()
}

fn newest_first() -> Vec<Case> {
    vec![
        case(
            "newest first",
            "Time (s),Speed (km/h)\n3,30\n2,20\n1,10\n0,0\n",
            SPEED,
            &["newest_first"],
        ),
        case(
            "newest first, by date and clock",
            "Timestamp,Speed (km/h)\n2024-05-01 12:00:03,30\n2024-05-01 12:00:02,20\n2024-05-01 12:00:01,10\n2024-05-01 12:00:00,0\n",
            SPEED,
            &["newest_first"],
        ),
        case(
            "newest first, Unix milliseconds",
            "timestamp,Speed (km/h)\n1700000003000,30\n1700000002000,20\n1700000001000,10\n1700000000000,0\n",
            SPEED,
            &["newest_first"],
        ),
        case(
            "newest first, through midnight",
            "Time,Speed (km/h)\n00:00:04,60\n00:00:03,50\n00:00:02,40\n00:00:01,30\n00:00:00,20\n23:59:59,10\n23:59:58,0\n",
            &["Speed = vehicle_speed [km/h] 0:0 1:10 2:20 3:30 4:40 5:50 6:60"],
            &["newest_first"],
        ),
        case(
            "newest first, with blanks and a column that ends early",
            "Time (s),Speed (km/h),RPM\n3,30,\n2,,1000\n1,10,900\n0,0,800\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 1:10 3:30",
                "RPM = engine_speed [rpm] 0:800 1:900 2:1000",
            ],
            &["newest_first"],
        ),
        case(
            "newest first, a track",
            "<gpx><trk><trkseg>\
             <trkpt lat=\"48.0002\" lon=\"11.0\"><time>2024-05-01T10:00:02Z</time></trkpt>\n\
             <trkpt lat=\"48.0001\" lon=\"11.0\"><time>2024-05-01T10:00:01Z</time></trkpt>\n\
             <trkpt lat=\"48.0000\" lon=\"11.0\"><time>2024-05-01T10:00:00Z</time></trkpt>\n\
             </trkseg></trk></gpx>",
            &["latitude = latitude [°] 0:48 1:48.0001 2:48.0002"],
            &["newest_first"],
        ),
    ]
}

/// A 2 s clock: a second out of order is no small thing here.
fn out_of_order() -> Vec<Case> {
    vec![
        case(
            "neighbours changed places",
            "Time (s),Speed (km/h)\n0,0\n2,2\n6,6\n4,4\n8,8\n10,10\n12,12\n14,14\n",
            &["Speed = vehicle_speed [km/h] 0:0 2:2 4:4 6:6 8:8 10:10 12:12 14:14"],
            &["clock_unordered"],
        ),
        case(
            "three records back to front, and two at the end",
            "Time (s),Speed (km/h)\n0,0\n2,2\n4,4\n10,10\n8,8\n6,6\n12,12\n14,14\n16,16\n18,18\n22,22\n20,20\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 2:2 4:4 6:6 8:8 10:10 12:12 14:14 16:16 18:18 20:20 22:22",
            ],
            &["clock_unordered"],
        ),
        case(
            "every two neighbours changed places",
            "Time (s),Speed (km/h)\n2,2\n0,0\n6,6\n4,4\n10,10\n8,8\n14,14\n12,12\n",
            &["Speed = vehicle_speed [km/h] 0:0 2:2 4:4 6:6 8:8 10:10 12:12 14:14"],
            &["clock_unordered"],
        ),
        case(
            "two blocks changed places",
            "Time (s),Speed (km/h)\n0,0\n2,2\n4,4\n12,12\n14,14\n16,16\n6,6\n8,8\n10,10\n18,18\n20,20\n22,22\n24,24\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 2:2 4:4 6:6 8:8 10:10 12:12 14:14 16:16 18:18 20:20 22:22 24:24",
            ],
            &["clock_unordered"],
        ),
        // The second recording begins inside the first: nothing says that they are one.
        case(
            "two recordings that overlap are two",
            "Time (s),Speed (km/h)\n0,0\n2,2\n4,4\n6,6\n8,8\n1,13\n3,15\n5,17\n7,19\n9,21\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 2:2 4:4 6:6 8:8 608:13 610:15 612:17 614:19 616:21",
            ],
            &["pieces", "gap"],
        ),
    ]
}

fn second_tables() -> Vec<Case> {
    vec![
        case(
            "a second table with other columns",
            "Time (s),Speed (km/h)\n0,0\n1,10\n2,20\n3,30\nTime (s),Coolant (°C)\n0,80\n1,81\n2,82\n",
            &[SPEED_LINE, "Coolant = coolant [°C] 0:80 1:81 2:82"],
            &["second_table"],
        ),
        case(
            "the same columns in another order",
            "Time (s),Speed (km/h),RPM\n0,0,800\n1,10,900\n2,20,950\n3,30,990\nTime (s),RPM,Speed (km/h)\n4,900,40\n5,800,50\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 1:10 2:20 3:30 4:40 5:50",
                "RPM = engine_speed [rpm] 0:800 1:900 2:950 3:990 4:900 5:800",
            ],
            &["second_table"],
        ),
        case(
            "a second table with a clock of its own, beginning earlier",
            "Engine\nTime (s),RPM\n2,800\n3,900\n4,950\n\nReceiver\nTime (s),GPS speed (m/s)\n1.5,0\n2.5,1\n3.5,2\n",
            &[
                "RPM = engine_speed [rpm] 0.5:800 1.5:900 2.5:950",
                "GPS speed = satellite_speed [m/s] 0:0 1:1 2:2",
            ],
            &["rows_dropped", "second_table"],
        ),
        case(
            "three tables with unit rows",
            "Time,RPM\ns,rpm\n0,800\n1,900\nTime,Speed\ns,km/h\n0,0\n0.5,10.5\n1,21\nTime,Coolant\ns,°C\n0,80\n1,81\n",
            &[
                "RPM = engine_speed [rpm] 0:800 1:900",
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Coolant = coolant [°C] 0:80 1:81",
            ],
            &["second_table", "second_table"],
        ),
        case(
            "a second table with columns of no name",
            "Time (s),Speed (km/h)\n0,0\n1,10\n2,20\n3,30\nTime (s),,,RPM\n0,1,2,800\n1,3,4,900\n2,5,6,950\n",
            &[
                SPEED_LINE,
                "column 2 = - [-] 0:1 1:3 2:5",
                "column 3 = - [-] 0:2 1:4 2:6",
                "RPM = engine_speed [rpm] 0:800 1:900 2:950",
            ],
            &["second_table"],
        ),
        case(
            "a second recording with a channel more, from zero again",
            "Time (s),Speed (km/h)\n0,0\n1,10\n2,20\n3,30\nTime (s),RPM,Speed (km/h)\n0,800,5\n1,900,6\n",
            SPEED,
            &["second_table"],
        ),
        case(
            "a mark of the driver among the records",
            "Time (s),Speed (km/h),RPM\n0,0,800\n1,10,900\nstart of run,speed,\n2,20,950\n3,30,990\n",
            SPEED,
            &["rows_dropped"],
        ),
    ]
}

fn several_clocks() -> Vec<Case> {
    vec![
        case(
            "a clock before each rate",
            "Time (s),RPM,Time (s),Speed (km/h)\n0,800,0,0\n0.5,850,2,20\n1,900,4,40\n1.5,950,6,60\n2,990,,\n2.5,995,,\n",
            &[
                "RPM = engine_speed [rpm] 0:800 0.5:850 1:900 1.5:950 2:990 2.5:995",
                "Speed = vehicle_speed [km/h] 0:0 2:20 4:40 6:60",
            ],
            &["name_twice", "clocks"],
        ),
        case(
            "the quicker clock on the right, beginning later",
            "t1 (s),Speed (km/h),t2 (s),RPM\n0,0,1,800\n2,20,1.5,850\n4,40,2,900\n6,60,2.5,950\n,,3,990\n,,3.5,995\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 2:20 4:40 6:60",
                "RPM = engine_speed [rpm] 1:800 1.5:850 2:900 2.5:950 3:990 3.5:995",
            ],
            &["clocks"],
        ),
        case(
            "clocks to the right of their columns",
            "RPM,t1 (s),Speed (km/h),t2 (s)\n800,0,0,1\n850,0.5,20,3\n900,1,40,5\n950,1.5,60,7\n990,2,,\n",
            &[
                "RPM = engine_speed [rpm] 0:800 0.5:850 1:900 1.5:950 2:990",
                "Speed = vehicle_speed [km/h] 1:0 3:20 5:40 7:60",
            ],
            &["clocks"],
        ),
        case(
            "one clock in two counts",
            "Time (s),timestamp,Speed (km/h)\n0,1700000000.1,0\n1,1700000001.1,10\n2,1700000002.1,20\n3,1700000003.1,30\n",
            SPEED,
            &[],
        ),
        case(
            "two clocks side by side that run apart",
            "Time (s),Timer (s),Speed (km/h)\n0,0,0\n1,5,10\n2,10,20\n3,15,30\n",
            SPEED,
            &["clocks_apart"],
        ),
        case(
            "two clocks of no common beginning",
            "Time (s),Speed (km/h),timestamp,RPM\n0,0,1700000000.0,800\n1,10,1700000000.1,850\n2,20,1700000000.2,900\n3,30,1700000000.3,950\n",
            &["RPM = engine_speed [rpm] 0:800 0.1:850 0.2:900 0.3:950"],
            &["clocks", "clocks_apart"],
        ),
    ]
}

/// A table whose second half was written with the other decimal sign.
pub fn mixed_signs() -> Vec<Case> {
    vec![
        case(
            "points and then commas",
            "Time (s);Speed (km/h);Lambda\n0.0;0;1.100\n0.5;10.5;1.101\n1,0;21,0;1,102\n1,5;30,5;1,103\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21 1.5:30.5",
                "Lambda = - [-] 0:1.1 0.5:1.101 1:1.102 1.5:1.103",
            ],
            &["decimals_mixed"],
        ),
        case(
            "commas and then points, three digits behind",
            "Time (ms);Battery (V)\n0;13,512\n500;13,601\n1000;13.702\n1500;13.803\n",
            &["Battery = - [V] 0:13.512 0.5:13.601 1:13.702 1.5:13.803"],
            &["decimals_mixed"],
        ),
        case(
            "thousands beside decimals are no such thing",
            "Time [s];Engine speed [rpm]\n0;850,5\n0,5;1.250,5\n1;1.300\n1,5;900\n",
            &["Engine speed = engine_speed [rpm] 0:850.5 0.5:1250.5 1:1300 1.5:900"],
            &[],
        ),
    ]
}

/// A reading a line, its channel told by a number.
pub fn numbered_channels() -> Vec<Case> {
    let row = |t: &str, rpm: u32, ect: u32| format!("{t},1,{rpm}\n{t},2,{ect}\n");
    let text = row("0.0", 800, 80) + &row("0.5", 900, 81) + &row("1.0", 950, 82);
    vec![
        case(
            "sensors told by numbers",
            format!("time (s),sensor_id,value\n{text}"),
            &["sensor_id 1 = - [-] 0:800 0.5:900 1:950", "sensor_id 2 = - [-] 0:80 0.5:81 1:82"],
            &[],
        ),
        case(
            "a number beside the name",
            format!(
                "time (s),id,signal,value\n{}",
                text.replace(",1,", ",1,RPM,").replace(",2,", ",2,ECT (C),")
            ),
            &[
                "RPM = engine_speed [rpm] 0:800 0.5:900 1:950",
                "ECT = coolant [°C] 0:80 0.5:81 1:82",
            ],
            &[],
        ),
    ]
}

/// A time of day with points beside a date with points.
pub fn dotted_clocks() -> Vec<Case> {
    const SPEED: &[&str] = &["Speed = vehicle_speed [km/h] 0:0 1:10 2:20"];
    vec![
        case(
            "a dotted clock beside a date",
            "Datum;Uhrzeit;Speed (km/h)\n14.06.2024;09.08.59;0\n14.06.2024;09.09.00;10\n14.06.2024;09.09.01;20\n",
            SPEED,
            &[],
        ),
        case(
            "a dotted clock alone",
            "Time;Speed (km/h)\n09.08.59;0\n09.09.00;10\n09.09.01;20\n",
            SPEED,
            &[],
        ),
    ]
}
