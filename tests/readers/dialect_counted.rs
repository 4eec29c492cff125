//! Dialects without a time: the records are counted, or not even that, and a line above
//! the table says how often they were written.
//!
//! 0.5 s apart is 2 Hz; values are worked out from each file by hand.

use pullmark::log::read;

use crate::dialects::{Case, case};

const SPEED: &[&str] = &["Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"];

pub fn counted() -> Vec<Case> {
    const SAID: &[&str] = &["time_from_rate"];
    vec![
        case(
            "a sample counter and a rate",
            "Vehicle: test car\nSample rate: 2 Hz\n\nSample,Speed (km/h)\n0,0\n1,10.5\n2,21\n",
            SPEED,
            SAID,
        ),
        case(
            "counted from one, the rate in a cell",
            "Rate [Hz],2\nNo.,Speed (km/h)\n1,0\n2,10.5\n3,21\n",
            SPEED,
            SAID,
        ),
        case(
            "counted, the rate in milliseconds",
            "Abtastrate 500 ms\nZeile;Speed (km/h)\n1;0\n2;10,5\n3;21\n",
            SPEED,
            SAID,
        ),
        case(
            "counted, a step in a comment",
            "# dt = 0.5 s\n# car: none\nindex,Speed (km/h)\n0,0\n1,10.5\n2,21\n",
            SPEED,
            SAID,
        ),
        case(
            "a count from a script, without a name",
            "# Sampling interval: 500 ms\n,Speed (km/h)\n0,0\n1,10.5\n2,21\n",
            SPEED,
            SAID,
        ),
        case(
            "a count with a hole: the time goes on over it",
            "Sample rate: 2 Hz\nSample,Speed (km/h)\n0,0\n1,10.5\n2,21\n3,22\n4,23\n5,24\n6,25\n7,26\n8,27\n9,28\n20,30\n21,31\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21 1.5:22 2:23 2.5:24 3:25 3.5:26 4:27 4.5:28 10:30 10.5:31",
            ],
            &["time_from_rate", "gap"],
        ),
        case(
            "no count at all",
            "Sample rate: 2 Hz\nSpeed (km/h),RPM\n0,800\n10.5,900\n21,1000\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "RPM = engine_speed [rpm] 0:800 0.5:900 1:1000",
            ],
            SAID,
        ),
        case(
            "a time that counts records",
            "Sample rate: 2 Hz\nTime,Speed (km/h)\n0,0\n1,10.5\n2,21\n",
            SPEED,
            &["unit_guessed"],
        ),
        case(
            "a time whose unit the rate tells",
            "Sample rate: 500 Hz\nTime,Speed (km/h)\n0,0\n2,10.5\n4,21\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.002:10.5 0.004:21"],
            &["unit_guessed"],
        ),
        case(
            "a written time stands above a rate",
            "Sample rate: 50 Hz\nSample,Time (s),Speed (km/h)\n0,0,0\n1,0.5,10.5\n2,1,21\n",
            SPEED,
            &[],
        ),
    ]
}

#[test]
fn what_a_counted_time_rests_on_is_said() {
    let text = |file: &str| read("a.csv", file.as_bytes()).unwrap().problems[0].text.clone();
    assert_eq!(
        text("Sample rate: 50 Hz\nSample,Speed (km/h)\n0,0\n1,10.5\n2,21\n"),
        "No column is a time. \"Sample\" counts the records, and the line \"Sample rate: 50 Hz\" above \
         the table says that they are 0.02 s apart. Times are as good as that line."
    );
    let rows = text("Sample rate: 50 Hz\nRPM,Speed (km/h)\n800,0\n900,10.5\n1000,21\n");
    assert!(rows.contains("they were laid evenly, as the line \"Sample rate: 50 Hz\""), "{rows}");
    assert!(rows.ends_with(
        "A record that the recorder left out is not seen: what follows would be too early."
    ));
}

#[test]
fn records_are_not_counted_where_it_is_not_said_how_far_apart_they_are() {
    let refused = |file: &str| read("a.csv", file.as_bytes()).unwrap_err().to_string();
    let bare = refused("Sample,Speed (km/h)\n0,0\n1,10.5\n2,21\n");
    assert!(bare.contains("\"Sample\" only counts: write above the table how often"), "{bare}");
    for head in
        ["Sample rate: 50 Hz\nLogging rate: 10 Hz", "Sampling interval: 10", "GPS rate: 10 Hz"]
    {
        let file = format!("{head}\nSample,Speed (km/h)\n0,0\n1,10.5\n2,21\n");
        assert!(refused(&file).contains("no column is a rising time"), "{head}");
    }
    // A counter that jumps about: something was lost.
    let broken = "Sample rate: 50 Hz\nSample,Speed (km/h)\n0,0\n7,10.5\n3,21\n19,22\n";
    assert!(refused(broken).contains("no column is a rising time"));
}
