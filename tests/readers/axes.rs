//! Axes of sensors of motion, by names that say more or less of what they are.

use pullmark::log::{Role, read};

/// An axis alone may be of an accelerometer, a gyroscope, a compass or a plan.
#[test]
fn an_axis_is_an_acceleration_where_something_says_so() {
    let along = ["0.1", "0.2", "0.3", "0.1", "-0.2", "-0.3"];
    for (name, wanted) in [
        ("x", "-"),
        ("X", "-"),
        ("y", "-"),
        ("Axis X", "-"),
        ("x (g)", "longitudinal_acceleration"),
        ("Accel x", "longitudinal_acceleration"),
        ("ax", "longitudinal_acceleration"),
    ] {
        let rows: String = along.iter().enumerate().map(|(n, g)| format!("{n},{g}\n")).collect();
        let log = read("a.csv", format!("Time (s),{name}\n{rows}").as_bytes()).unwrap();
        let role = log.channels[0].role.map_or("-", Role::code);
        assert_eq!(role, wanted, "{name}");
    }
    let rows: String = (0..50).map(|n| format!("{n},0.{n:02},0,0,1.{n:02},0,9.8\n")).collect();
    let log = read("a.csv", format!("Time (s),gx,gy,gz,ax,ay,az\n{rows}").as_bytes()).unwrap();
    let along = log.channel(Role::LongitudinalAcceleration).unwrap();
    assert_eq!(along.name, "ax");
    assert!(log.problems.iter().any(|problem| problem.text
        == "\"gx\" is named like longitudinal acceleration, but beside \"ax\" it is the gyroscope's \
            axis; it was given no role."));
}
