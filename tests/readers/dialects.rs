//! One table of small files, each in a dialect of its own, and what must be read.
//!
//! A channel is written `name = role [unit] time:value …`, with times in seconds
//! from the first record and values as the file has them, in that unit.

use pullmark::log::{Channel, Log, read};

pub struct Case {
    name: &'static str,
    bytes: Vec<u8>,
    channels: &'static [&'static str],
    /// Codes of the problems, in order.
    problems: &'static [&'static str],
}

pub fn case(
    name: &'static str,
    text: impl AsRef<[u8]>,
    channels: &'static [&'static str],
    problems: &'static [&'static str],
) -> Case {
    Case { name, bytes: text.as_ref().to_vec(), channels, problems }
}

const SPEED: &[&str] = &["Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"];

fn delimiters_and_signs() -> Vec<Case> {
    vec![
        case("comma", "Time (s),Speed (km/h)\n0,0\n0.5,10.5\n1,21\n", SPEED, &[]),
        case("semicolon", "Time (s);Speed (km/h)\n0;0\n0.5;10.5\n1;21\n", SPEED, &[]),
        case("tab", "Time (s)\tSpeed (km/h)\n0\t0\n0.5\t10.5\n1\t21\n", SPEED, &[]),
        case("bar", "Time (s)|Speed (km/h)\n0|0\n0.5|10.5\n1|21\n", SPEED, &[]),
        case("decimal comma", "Time [s];Speed [km/h]\n0;0\n0,5;10,5\n1,0;21,0\n", SPEED, &[]),
        case(
            "decimal comma with tabs",
            "Time [s]\tSpeed [km/h]\n0,0\t0\n0,5\t10,5\n1,0\t21\n",
            SPEED,
            &[],
        ),
        case(
            "decimal comma in quotes",
            "Time [s],Speed [km/h]\n\"0,0\",\"0,0\"\n\"0,5\",\"10,5\"\n\"1,0\",\"21,0\"\n",
            SPEED,
            &[],
        ),
        case(
            "carriage return and line feed",
            "Time (s),Speed (km/h)\r\n0,0\r\n0.5,10.5\r\n1,21\r\n",
            SPEED,
            &[],
        ),
        case("lone carriage returns", "Time (s),Speed (km/h)\r0,0\r0.5,10.5\r1,21\r", SPEED, &[]),
        case("no last line break", "Time (s),Speed (km/h)\n0,0\n0.5,10.5\n1,21", SPEED, &[]),
        case(
            "names and cells in apostrophes",
            "'Time (s)','Speed (km/h)'\n'0','0'\n'0.5','10.5'\n'1','21'\n",
            SPEED,
            &[],
        ),
        case(
            "quoted names and cells",
            "\"Time (s)\",\"Speed (km/h)\"\n\"0\",\"0\"\n\"0.5\",\"10.5\"\n\"1\",\"21\"\n",
            SPEED,
            &[],
        ),
        case(
            "blanks around cells",
            " Time (s) , Speed (km/h) \n 0 , 0 \n 0.5 , 10.5 \n 1 , 21 \n",
            SPEED,
            &[],
        ),
        case(
            "delimiter at the end of every line",
            "Time (s);Speed (km/h);\n0;0;\n0,5;10,5;\n1;21;\n",
            SPEED,
            &[],
        ),
        case(
            "thousands in groups",
            "Time [s];Engine speed [rpm]\n0;850\n0,1;1.250\n0,2;12.500,5\n",
            &["Engine speed = engine_speed [rpm] 0:850 0.1:1250 0.2:12500.5"],
            &[],
        ),
        case(
            "thousands in groups, quoted",
            "Time (s),RPM\n0.0,850\n0.1,\"1,250\"\n0.2,\"12,500\"\n",
            &["RPM = engine_speed [rpm] 0:850 0.1:1250 0.2:12500"],
            &[],
        ),
        case(
            "blank lines between",
            "Time (s),Speed (km/h)\n\n0,0\n\n0.5,10.5\n\n1,21\n\n",
            SPEED,
            &[],
        ),
    ]
}

fn headers() -> Vec<Case> {
    vec![
        case("sep line", "sep=;\nTime (s);Speed (km/h)\n0;0\n0,5;10,5\n1;21\n", SPEED, &[]),
        case(
            "comment lines",
            "# logger 1.2\n# car: none\nTime (s),Speed (km/h)\n0,0\n0.5,10.5\n1,21\n",
            SPEED,
            &[],
        ),
        case(
            "key and value lines",
            "Vehicle: test car\nDate: 2024-05-01\nSample rate;20\n\nTime (s);Speed (km/h)\n0;0\n0.5;10.5\n1;21\n",
            SPEED,
            &[],
        ),
        case(
            "comment sign before the header",
            "#Time (s),Speed (km/h)\n0,0\n0.5,10.5\n1,21\n",
            SPEED,
            &[],
        ),
        case("unit row", "Time,Speed\ns,km/h\n0,0\n0.5,10.5\n1,21\n", SPEED, &[]),
        case("unit row in brackets", "Time;Speed\n[s];[km/h]\n0;0\n0,5;10,5\n1;21\n", SPEED, &[]),
        case(
            "unit row with blanks",
            "Time,Lap,Speed\ns,,km/h\n0,1,0\n0.5,1,10.5\n1,1,21\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
            &[],
        ),
        case(
            "units glued to names",
            "time_ms,speed_mph,accel_mps2,coolant_temp_c,engine_rpm\n0,0,0.1,80,900\n100,1.5,3.5,80,1500\n200,2.5,4.5,81,2000\n",
            &[
                "speed_mph = vehicle_speed [mph] 0:0 0.1:1.5 0.2:2.5",
                "accel_mps2 = longitudinal_acceleration [m/s²] 0:0.1 0.1:3.5 0.2:4.5",
                "coolant_temp_c = coolant [°C] 0:80 0.1:80 0.2:81",
                "engine_rpm = engine_speed [rpm] 0:900 0.1:1500 0.2:2000",
            ],
            &[],
        ),
        case(
            "header again in mid-file",
            "Time (s),Speed (km/h)\n0,0\n0.5,10.5\nTime (s),Speed (km/h)\n1,21\n",
            SPEED,
            &["header_repeated"],
        ),
        case(
            "a name twice",
            "Time (s),Speed (km/h),Speed (km/h)\n0,0,1\n0.5,10.5,2\n1,21,3\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Speed (2) = vehicle_speed [km/h] 0:1 0.5:2 1:3",
            ],
            &["name_twice", "role_twice"],
        ),
        case(
            "no header",
            "0.0,800,5\n0.1,900,6\n0.2,1000,7\n0.3,1100,8\n",
            &[
                "column 2 = - [-] 0:800 0.1:900 0.2:1000 0.3:1100",
                "column 3 = - [-] 0:5 0.1:6 0.2:7 0.3:8",
            ],
            &["header_missing", "unit_guessed"],
        ),
        case(
            "group row over the names",
            "Engine,,Chassis\nTime (s),RPM,Speed (km/h)\n0,800,0\n0.5,900,10.5\n1,1000,21\n",
            &[
                "RPM = engine_speed [rpm] 0:800 0.5:900 1:1000",
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
            ],
            &[],
        ),
    ]
}

fn cells() -> Vec<Case> {
    vec![
        case(
            "every spelling of nothing",
            "Time (s),Speed (km/h)\n0,0\n1,\n2,NaN\n3,NA\n4,N/A\n5,-\n6,--\n7,null\n8,#N/A\n9,9\n",
            &["Speed = vehicle_speed [km/h] 0:0 9:9"],
            &[],
        ),
        case(
            "ragged rows",
            "Time (s),RPM,Speed (km/h)\n0,800,0\n1,900\n2,1000,21,77\n3,1100,30\n",
            &[
                "RPM = engine_speed [rpm] 0:800 1:900 2:1000 3:1100",
                "Speed = vehicle_speed [km/h] 0:0 2:21 3:30",
            ],
            &["rows_short", "rows_long"],
        ),
        case(
            "last line cut short",
            "Time (s),RPM,Speed (km/h)\n0,800,0\n1,900,10\n2,10",
            &["RPM = engine_speed [rpm] 0:800 1:900", "Speed = vehicle_speed [km/h] 0:0 1:10"],
            &["cut_short"],
        ),
        case(
            "units behind the numbers",
            "Time (s),Speed,Coolant\n0,0 km/h,80 °C\n0.5,10.5 km/h,80 °C\n1,21 km/h,81 °C\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Coolant = coolant [°C] 0:80 0.5:80 1:81",
            ],
            &[],
        ),
        case(
            "text among numbers",
            "Time (s),Speed (km/h)\n0,0\n0.5,oops\n1,21\n",
            &["Speed = vehicle_speed [km/h] 0:0 1:21"],
            &["cells_unread"],
        ),
        case(
            "gear letters",
            "Time (s),Gear\n0,P\n1,R\n2,N\n3,1\n4,D2\n5,3\n",
            &["Gear = gear [-] 0:0 1:-1 2:0 3:1 4:2 5:3"],
            &[],
        ),
        case(
            "an open quotation mark",
            "Time (s),Speed (km/h),Note\n0,0,\"start\n0.5,10.5,a\n1,21,b\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
            &["open_quote", "columns_left_out"],
        ),
        case(
            "channels of different rates in one table",
            "Time (s),RPM,Speed (km/h)\n0,800,0\n0.1,810,\n0.2,820,\n0.3,830,3\n0.4,840,\n0.5,850,\n",
            &[
                "RPM = engine_speed [rpm] 0:800 0.1:810 0.2:820 0.3:830 0.4:840 0.5:850",
                "Speed = vehicle_speed [km/h] 0:0 0.3:3",
            ],
            &[],
        ),
    ]
}

fn languages() -> Vec<Case> {
    vec![
        case(
            "German",
            "Zeit [s];Geschwindigkeit [km/h];Motordrehzahl [1/min];Ladelufttemperatur [°C];Ansauglufttemperatur [°C];\
             Kühlmitteltemperatur [°C];Außentemperatur [°C];Ladedruck [mbar];Drosselklappe [%];Gang;Raddrehzahl VL [km/h]\n\
             0;0;900;40,5;25;90;21;1013;0;1;0\n0,5;10;2000;41;25;90;21;1500;100;1;10\n1;20;3000;42;25;90;21;2000;100;1;20\n",
            &[
                "Geschwindigkeit = vehicle_speed [km/h] 0:0 0.5:10 1:20",
                "Motordrehzahl = engine_speed [rpm] 0:900 0.5:2000 1:3000",
                "Ladelufttemperatur = charge_air [°C] 0:40.5 0.5:41 1:42",
                "Ansauglufttemperatur = inlet_air [°C] 0:25 0.5:25 1:25",
                "Kühlmitteltemperatur = coolant [°C] 0:90 0.5:90 1:90",
                "Außentemperatur = ambient_air [°C] 0:21 0.5:21 1:21",
                "Ladedruck = manifold_pressure [mbar] 0:1013 0.5:1500 1:2000",
                "Drosselklappe = throttle [%] 0:0 0.5:100 1:100",
                "Gang = gear [-] 0:1 0.5:1 1:1",
                "Raddrehzahl VL = wheel_speed_front_left [km/h] 0:0 0.5:10 1:20",
            ],
            &[],
        ),
        case(
            "French",
            "Temps (s);Vitesse (km/h);Régime moteur (tr/min);Température air admission (°C);Température air de suralimentation (°C);\
             Température liquide de refroidissement (°C);Pédale accélérateur (%);Rapport engagé\n\
             0;0;900;25;40;90;0;1\n0,5;10;2000;25;41;90;100;1\n1;20;3000;25;42;90;100;1\n",
            &[
                "Vitesse = vehicle_speed [km/h] 0:0 0.5:10 1:20",
                "Régime moteur = engine_speed [rpm] 0:900 0.5:2000 1:3000",
                "Température air admission = inlet_air [°C] 0:25 0.5:25 1:25",
                "Température air de suralimentation = charge_air [°C] 0:40 0.5:41 1:42",
                "Température liquide de refroidissement = coolant [°C] 0:90 0.5:90 1:90",
                "Pédale accélérateur = pedal [%] 0:0 0.5:100 1:100",
                "Rapport engagé = gear [-] 0:1 0.5:1 1:1",
            ],
            &[],
        ),
        case(
            "trade abbreviations",
            "Time (s),VSS (mph),RPM,TPS (%),IAT (F),CACT (F),ECT (F),MAP (kPa),BARO (kPa),Boost air temp (F)\n\
             0,0,900,0,80,110,190,40,99,111\n1,10,2000,100,80,112,190,180,99,113\n2,20,3000,100,80,115,190,190,99,116\n",
            &[
                "VSS = vehicle_speed [mph] 0:0 1:10 2:20",
                "RPM = engine_speed [rpm] 0:900 1:2000 2:3000",
                "TPS = throttle [%] 0:0 1:100 2:100",
                "IAT = inlet_air [°F] 0:80 1:80 2:80",
                "CACT = charge_air [°F] 0:110 1:112 2:115",
                "ECT = coolant [°F] 0:190 1:190 2:190",
                "MAP = manifold_pressure [kPa] 0:40 1:180 2:190",
                "BARO = barometric_pressure [kPa] 0:99 1:99 2:99",
                "Boost air temp = charge_air [°F] 0:111 1:113 2:116",
            ],
            &["role_twice"],
        ),
        case(
            "not what they sound like",
            "Time (s),Oil temp (°C),Exhaust gas temp (°C),Lateral G (g),Vertical accel (g),Target boost (kPa),Desired gear,Turbo speed (rpm),Fan speed (rpm),Wheel slip (%)\n\
             0,90,400,0.1,1,100,1,50000,900,0\n1,91,500,0.2,1,150,1,90000,900,1\n2,92,600,0.3,1,150,2,99000,900,2\n",
            &[
                "Oil temp = - [°C] 0:90 1:91 2:92",
                "Exhaust gas temp = - [°C] 0:400 1:500 2:600",
                "Lateral G = - [g] 0:0.1 1:0.2 2:0.3",
                "Vertical accel = - [g] 0:1 1:1 2:1",
                "Target boost = - [kPa] 0:100 1:150 2:150",
                "Desired gear = - [-] 0:1 1:1 2:2",
                "Turbo speed = - [rpm] 0:50000 1:90000 2:99000",
                "Fan speed = - [rpm] 0:900 1:900 2:900",
                "Wheel slip = - [%] 0:0 1:1 2:2",
            ],
            &[],
        ),
        case(
            "other tongues",
            "Tiempo (s),Velocidad (km/h),Velocità (km/h),Snelheid (km/h),車速 (km/h),エンジン回転数 (rpm),水温 (℃),吸気温度 (℃)\n\
             0,0,0,0,0,900,80,20\n1,10,10,10,10,2000,80,20\n2,20,20,20,20,3000,80,20\n",
            &[
                "Velocidad = vehicle_speed [km/h] 0:0 1:10 2:20",
                "Velocità = vehicle_speed [km/h] 0:0 1:10 2:20",
                "Snelheid = vehicle_speed [km/h] 0:0 1:10 2:20",
                "車速 = vehicle_speed [km/h] 0:0 1:10 2:20",
                "エンジン回転数 = engine_speed [rpm] 0:900 1:2000 2:3000",
                "水温 = coolant [°C] 0:80 1:80 2:80",
                "吸気温度 = inlet_air [°C] 0:20 1:20 2:20",
            ],
            &["role_twice"],
        ),
    ]
}

fn encodings() -> Vec<Case> {
    const NAMES: &[&str] = &["Kühlwasser = coolant [°C] 0:80 1:81 2:82"];
    let text = "Zeit [s];Kühlwasser [°C]\n0;80\n1;81\n2;82\n";
    let wide =
        |order: fn(u16) -> [u8; 2]| -> Vec<u8> { text.encode_utf16().flat_map(order).collect() };
    let latin: Vec<u8> = text.chars().map(|c| c as u32 as u8).collect();
    let twice: String = text.bytes().map(char::from).collect();
    vec![
        case("UTF-8", text, NAMES, &[]),
        case("UTF-8 with its mark", [b"\xef\xbb\xbf", text.as_bytes()].concat(), NAMES, &[]),
        case(
            "UTF-16 little end first",
            [b"\xff\xfe".to_vec(), wide(u16::to_le_bytes)].concat(),
            NAMES,
            &[],
        ),
        case(
            "UTF-16 big end first",
            [b"\xfe\xff".to_vec(), wide(u16::to_be_bytes)].concat(),
            NAMES,
            &[],
        ),
        case("UTF-16 without its mark", wide(u16::to_le_bytes), NAMES, &[]),
        case("Latin-1", latin, NAMES, &["encoding"]),
        case("UTF-8 saved twice", twice, NAMES, &[]),
    ]
}

/// Every case of the table, the clocks and orders included.
fn all() -> Vec<Case> {
    let all = [
        delimiters_and_signs(),
        headers(),
        cells(),
        crate::dialect_clocks::clocks(),
        crate::dialect_clocks::in_parts(),
        crate::dialect_clocks::turns(),
        crate::dialect_headers::headers(),
        crate::dialect_headers::thousands(),
        crate::dialect_counted::counted(),
        crate::dialect_orders::orders(),
        crate::dialect_orders::dotted_clocks(),
        crate::dialect_orders::mixed_signs(),
        crate::dialect_orders::numbered_channels(),
        crate::dialect_padding::cells(),
        crate::dialect_ugly::clocks(),
        crate::dialect_ugly::names(),
        crate::dialect_ugly::older_encodings(),
        crate::dialect_ugly::cells(),
        crate::dialect_ugly::long_tables(),
        crate::dialect_ugly::databases(),
        crate::dialect_ugly::blanks(),
        crate::dialect_ugly::positions(),
        crate::dialect_printed::clocks(),
        crate::dialect_printed::cells(),
        crate::dialect_printed::units(),
        crate::dialect_printed::names(),
        crate::dialect_printed::forms(),
        crate::dialect_scripts::clocks(),
        crate::dialect_scripts::cells(),
        crate::dialect_scripts::names(),
        crate::dialect_scripts::led(),
        crate::dialect_scripts::encodings(),
        languages(),
        encodings(),
    ];
    all.into_iter().flatten().collect()
}

/// The files of all cases, for other tests.
pub fn files() -> Vec<(&'static str, Vec<u8>)> {
    all().into_iter().map(|case| (case.name, case.bytes)).collect()
}

#[test]
fn every_dialect_gives_its_channels_roles_units_values_and_times() {
    let mut wrong = Vec::new();
    for case in &all() {
        wrong.extend(check(case));
    }
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

fn check(case: &Case) -> Vec<String> {
    let log = match read(case.name, &case.bytes) {
        Ok(log) => log,
        Err(error) => return vec![format!("{}: refused: {error}", case.name)],
    };
    let mut wrong = Vec::new();
    for expected in case.channels {
        wrong.extend(differs(&log, expected).map(|why| format!("{}: {why}", case.name)));
    }
    let codes: Vec<&str> = log.problems.iter().map(|problem| problem.code).collect();
    if codes != case.problems {
        wrong.push(format!(
            "{}: problems {:?}, expected {:?}",
            case.name, log.problems, case.problems
        ));
    }
    wrong
}

fn differs(log: &Log, expected: &str) -> Option<String> {
    let (name, rest) = expected.split_once(" = ")?;
    let names: Vec<&str> = log.channels.iter().map(|channel| channel.name.as_str()).collect();
    let Some(channel) = log.channels.iter().find(|channel| channel.name == name) else {
        return Some(format!("no channel \"{name}\" among {names:?}"));
    };
    let (role, rest) = rest.split_once(' ')?;
    let (unit, readings) = rest.split_once("] ")?;
    let found = (
        channel.role.map_or("-", |role| role.code()),
        channel.unit.map_or("-", |unit| unit.symbol),
    );
    if found != (role, &unit[1..]) {
        return Some(format!("{name}: {found:?}, expected {role} {unit}]; {}", channel.how));
    }
    let wanted: Vec<(f64, f64)> = readings
        .split(' ')
        .map(|pair| pair.split_once(':').unwrap())
        .map(|(time, value)| (time.parse().unwrap(), value.parse().unwrap()))
        .collect();
    let read = written(channel);
    let close = |a: f64, b: f64| (a - b).abs() < 2e-6 * b.abs().max(1.0);
    let same = read.len() == wanted.len()
        && read.iter().zip(&wanted).all(|(r, w)| close(r.0, w.0) && close(r.1, w.1));
    (!same).then(|| format!("{name}: read {read:?}, expected {wanted:?}"))
}

/// Times and values as the file has them.
fn written(channel: &Channel) -> Vec<(f64, f64)> {
    let value =
        channel.series.value.iter().map(|&v| channel.unit.map_or(v, |unit| unit.written(v)));
    channel.series.time_s.iter().copied().zip(value).collect()
}
