//! Headers that do not stand where they should, and marks between thousands.
//!
//! Values are worked out from each file by hand.

use crate::dialects::{Case, case};

const SPEED: &[&str] = &["Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"];

pub fn headers() -> Vec<Case> {
    vec![
        case(
            "a count of rows that has no name",
            "Time (s),Speed (km/h)\n0,0,0\n1,0.5,10.5\n2,1,21\n",
            SPEED,
            &[],
        ),
        case(
            "the same with holes",
            "Time (s),Speed (km/h)\n0,0,0\n7,0.5,10.5\n9,1,21\n",
            SPEED,
            &[],
        ),
        case(
            "the same, printed",
            "   time_s  speed_kmh\n0     0.0        0.0\n1     0.5       10.5\n2     1.0       21.0\n",
            &["speed_kmh = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
            &[],
        ),
        // The cell that has no name is the last: the speeds do not rise, so they are no time.
        case(
            "a cell more at the end",
            "Time (s),Speed (km/h)\n0,5,7\n1,4,7\n2,3,7\n",
            &["Speed = vehicle_speed [km/h] 0:5 1:4 2:3"],
            &["name_missing"],
        ),
        case(
            "a table of scales above is no row of units",
            "Time,1,0,s\nSpeed,1,0,km/h\nRPM,1,0,1/min\nTime (s),Speed (km/h),RPM,ECT (C)\n0,0,800,80\n0.5,10.5,900,81\n1,21,950,82\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "ECT = coolant [°C] 0:80 0.5:81 1:82",
            ],
            &[],
        ),
        case(
            "every line quoted as one cell",
            "\"Time (s),Speed (km/h),Place\"\n\"0,0,\"\"a\"\"\"\n\"0.5,10.5,\"\"b\"\"\"\n\"1,21,\"\"c\"\"\"\n",
            SPEED,
            &["lines_quoted", "columns_left_out"],
        ),
        case(
            "the records alone quoted, with a cell behind them",
            "Time (s);Speed (km/h)\n\"0;0\";\n\"0.5;10.5\";\n\"1;21\";\n",
            SPEED,
            &["lines_quoted"],
        ),
        case(
            "a date and a clock under one name, parted by blanks",
            "Timestamp speed_kmh rpm\n2024-05-17 14:31:07.0 0.0 850\n2024-05-17 14:31:07.5 10.5 852\n2024-05-17 14:31:08.0 21 853\n",
            &[
                "speed_kmh = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "rpm = engine_speed [rpm] 0:850 0.5:852 1:853",
            ],
            &[],
        ),
        case(
            "parts of units in a row of their own",
            "Time,Speed,RPM,IAT\ns,0.1 km/h,rpm,0.1 °C\n0,0,850,70\n0.5,105,1000,71\n1,210,1100,72\n",
            &[
                "Speed = vehicle_speed [0.1 km/h] 0:0 0.5:105 1:210",
                "IAT = inlet_air [0.1 °C] 0:70 0.5:71 1:72",
            ],
            &[],
        ),
        case(
            "line breaks within every name",
            "\"Time\n(s)\",\"Speed\n(km/h)\",\"RPM\n(1/min)\",\"Inlet\nair\n(°C)\",\"Coolant\n(°C)\",\"Gear\n(-)\"\n0,0,900,21,80,1\n0.5,10.5,2000,22,80,1\n1,21,3000,23,81,2\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Inlet air = inlet_air [°C] 0:21 0.5:22 1:23",
                "Gear (-) = gear [-] 0:1 0.5:1 1:2",
            ],
            &[],
        ),
        case(
            "the unit beside the name is the column's",
            "Time (s),Speed (km/h)\nms,mph\n0,0\n0.5,10.5\n1,21\n",
            SPEED,
            &[],
        ),
    ]
}

/// 900 and then 1,000: with a decimal sign it would be 900,000.
pub fn thousands() -> Vec<Case> {
    vec![
        case(
            "commas between thousands, cells parted by tabs",
            "Time (ms)\tRPM\n800\t850\n900\t950\n1,000\t1,055\n1,100\t1,200\n",
            &["RPM = engine_speed [rpm] 0:850 0.1:950 0.2:1055 0.3:1200"],
            &[],
        ),
        case(
            "points between thousands",
            "Zeit (ms);Drehzahl\n800;850\n900;950\n1.000;1.055\n1.100;1.200\n",
            &["Drehzahl = engine_speed [rpm] 0:850 0.1:950 0.2:1055 0.3:1200"],
            &[],
        ),
        case(
            "three decimals behind every point",
            "Time (s);Manifold pressure (kPa)\n0.000;100\n0.100;100.125\n0.200;101.250\n",
            &["Manifold pressure = manifold_pressure [kPa] 0:100 0.1:100.125 0.2:101.25"],
            &[],
        ),
        case(
            "three decimals behind every comma",
            "Zeit (s);Ladedruck (bar)\n0,000;1,013\n0,100;1,250\n0,200;1,500\n",
            &["Ladedruck = manifold_pressure [bar] 0:1.013 0.1:1.25 0.2:1.5"],
            &[],
        ),
    ]
}
