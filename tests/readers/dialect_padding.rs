//! Rows of the dialect table with padding, signs and digits that are not of ASCII: blanks
//! of every width, letters without any, the true minus, full-width digits.

use crate::dialects::{Case, case};

const SPEED_LINE: &str = "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:-1";
const SPEED: &[&str] = &[SPEED_LINE];

/// Blanks and marks that a spreadsheet, a web page or a chat puts around a number.
const PADDING: [char; 12] = [
    '\u{a0}', '\u{2002}', '\u{2007}', '\u{2009}', '\u{200a}', '\u{200b}', '\u{200e}', '\u{200f}',
    '\u{202f}', '\u{2060}', '\u{3000}', '\u{feff}',
];

pub fn cells() -> Vec<Case> {
    let around = PADDING.map(|pad| {
        let rows = [("0", "0"), ("0.5", "10.5"), ("1", "-1")];
        let rows = rows.map(|(time, speed)| format!("{pad}{time},{pad}{pad}{speed}{pad}\n"));
        let text = format!("Time{pad}(s),{pad}Speed{pad} (km/h){pad}\n{}", rows.concat());
        case("padding around cells and names", text, SPEED, &[])
    });
    let within = ['\u{a0}', '\u{2007}', '\u{2009}', '\u{202f}'].map(|pad| {
        let text = format!("Time [s];Engine speed [rpm]\n0;850\n0,1;1{pad}250\n0,2;12{pad}500,5\n");
        let read = &["Engine speed = engine_speed [rpm] 0:850 0.1:1250 0.2:12500.5"];
        case("thousands apart by blanks of any width", text, read, &[])
    });
    let minus = ['−', '–', '‐', '‒', '－', '﹣'].map(|minus| {
        let text = format!("Time (s),Speed (km/h)\n0,0\n0.5,10.5\n1,{minus}1\n");
        case("a minus of any form", text, SPEED, &[])
    });
    let others = vec![
        case(
            "full-width digits",
            "時間（秒）,Speed（ｋｍ／ｈ）\n０,０\n０．５,１０．５\n１,－１\n",
            SPEED,
            &[],
        ),
        case(
            "full-width digits with decimal commas",
            "時間（秒）;Speed（ｋｍ／ｈ）\n０;０\n０，５;１０，５\n１;－１\n",
            SPEED,
            &[],
        ),
        case(
            "a padded clock",
            "Time,Speed (km/h)\n\u{2007}13:37:12.0\u{a0},0\n\u{2007}13:37:12.5\u{a0},10.5\n\u{2007}１３：３７：１３,-1\n",
            SPEED,
            &[],
        ),
        case(
            "a header once more, behind the mark of Unicode",
            "Time (s),Speed (km/h)\n0,0\n\u{feff}Time (s),Speed (km/h)\n0.5,10.5\n1,-1\n",
            SPEED,
            &["header_repeated"],
        ),
    ];
    around.into_iter().chain(within).chain(minus).chain(others).collect()
}
