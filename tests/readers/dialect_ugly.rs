//! Rows of the dialect table that were met in ugly files: clocks in two columns, counters
//! that begin anew, names of engineers, numbers for nothing, states in words.
//!
//! Values are worked out from each file by hand; a gauge pressure or a speed without a
//! unit is checked in the unit it must have been written in.

use crate::dialects::{Case, case};

const SPEED_LINE: &str = "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21";
const SPEED: &[&str] = &[SPEED_LINE];

pub fn clocks() -> Vec<Case> {
    vec![
        case(
            "a clock in brackets",
            "Time,Speed (km/h)\n[2024-06-14 13:37:12.000],0\n[2024-06-14 13:37:12.500],10.5\n[2024-06-14 13:37:13.000],21\n",
            SPEED,
            &[],
        ),
        case(
            "the compact form",
            "ts,Speed (km/h)\n20240614T133712.000Z,0\n20240614T133712.500Z,10.5\n20240614T133713.000Z,21\n",
            SPEED,
            &[],
        ),
        case(
            "lengths of time in days",
            "time,Speed (km/h)\n0 days 00:00:00,0\n0 days 00:00:00.500000,10.5\n0 days 00:00:01,21\n",
            SPEED,
            &[],
        ),
        case(
            "Japanese dates",
            "日時,Speed (km/h)\n2024年6月14日 13時37分12.0秒,0\n2024年6月14日 13時37分12.5秒,10.5\n2024年6月14日 13時37分13.0秒,21\n",
            SPEED,
            &[],
        ),
        case(
            "milliseconds in a column of their own",
            "Time,Millisecond,Speed (km/h)\n13:37:12,0,0\n13:37:12,500,10.5\n13:37:13,0,21\n",
            SPEED,
            &[],
        ),
        case(
            "seconds of the day at midnight",
            "Time (s),Speed (km/h)\n86399.5,0\n86399.9,8\n0.3,16\n0.7,24\n1.1,32\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.4:8 0.8:16 1.2:24 1.6:32"],
            &[],
        ),
        case(
            "a counter of two bytes",
            "time_ms,Speed (km/h)\n65336,0\n65436,8\n0,16\n100,24\n200,32\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.1:8 0.2:16 0.3:24 0.4:32"],
            &[],
        ),
        case("nanoseconds", "ns,Speed (km/h)\n0,0\n500000000,10.5\n1000000000,21\n", SPEED, &[]),
        case(
            "an index without a name",
            ",Speed (km/h)\n0.0,0\n0.5,10.5\n1.0,21\n",
            SPEED,
            &["unit_guessed"],
        ),
        case(
            "a temperature is no time",
            "Zeit [s];T_Ansaug [°C];Speed [km/h]\n0;21;0\n0,5;22;10,5\n1;23;21\n",
            &["T_Ansaug = inlet_air [°C] 0:21 0.5:22 1:23", SPEED_LINE],
            &[],
        ),
    ]
}

pub fn names() -> Vec<Case> {
    vec![
        case(
            "brackets in brackets, and full-width ones",
            "時間［ｓ］,水温［℃］,Manifold pressure (bar(a))\n0,80,0.4\n0.5,81,1.2\n1,82,2.1\n",
            &[
                "水温 = coolant [°C] 0:80 0.5:81 1:82",
                "Manifold pressure = manifold_pressure [bar] 0:0.4 0.5:1.2 1:2.1",
            ],
            &[],
        ),
        case(
            "short names of engineers",
            "time;nmot;vfzg;tans;tmot;gangi\ns;U/min;km/h;Grad C;Grad C;-\n0;900;0;21;80;1\n0,5;2000;11;22;81;1\n1;3000;22;23;82;2\n",
            &[
                "nmot = engine_speed [rpm] 0:900 0.5:2000 1:3000",
                "vfzg = vehicle_speed [km/h] 0:0 0.5:11 1:22",
                "tans = inlet_air [°C] 0:21 0.5:22 1:23",
                "tmot = coolant [°C] 0:80 0.5:81 1:82",
                "gangi = gear [-] 0:1 0.5:1 1:2",
            ],
            &[],
        ),
        case(
            "the letter of its degrees glued to what is warm",
            "time_s,charge_air_c,intake_f,bank_c\n0,40,70,1\n0.5,41,71,2\n1,42,72,3\n",
            &[
                "charge_air_c = charge_air [°C] 0:40 0.5:41 1:42",
                "intake_f = inlet_air [°F] 0:70 0.5:71 1:72",
                "bank_c = - [-] 0:1 0.5:2 1:3",
            ],
            &[],
        ),
        case(
            "German, shortened",
            "Zeit;Geschw.;Drehz.\ns;km/h;U/min\n0;0;900\n0,5;10,5;2000\n1;21;3000\n",
            &[
                "Geschw. = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Drehz. = engine_speed [rpm] 0:900 0.5:2000 1:3000",
            ],
            &[],
        ),
        case(
            "Polish",
            "Czas (s);Prędkość (km/h);Obroty silnika (obr/min)\n0;0;900\n0,5;10,5;2000\n1;21;3000\n",
            &[
                "Prędkość = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Obroty silnika = engine_speed [rpm] 0:900 0.5:2000 1:3000",
            ],
            &[],
        ),
        case(
            "Portuguese, and Spanish of the charge air",
            "Tempo (s);Velocidade (km/h);Temperatura do ar de admissão (°C);Temp. aire de carga (°C)\n0;0;21;40\n0,5;10,5;22;41\n1;21;23;42\n",
            &[
                "Velocidade = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Temperatura do ar de admissão = inlet_air [°C] 0:21 0.5:22 1:23",
                "Temp. aire de carga = charge_air [°C] 0:40 0.5:41 1:42",
            ],
            &[],
        ),
        case(
            "what is measured behind what it is of, and Japanese joined",
            "Time (s),\"Speed, engine (rpm)\",\"Speed, vehicle (km/h)\",吸気管絶対圧 (kPa)\n0,900,0,35\n0.5,2000,10.5,120\n1,3000,21,180\n",
            &[
                "Speed, engine = engine_speed [rpm] 0:900 0.5:2000 1:3000",
                "Speed, vehicle = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "吸気管絶対圧 = manifold_pressure [kPa] 0:35 0.5:120 1:180",
            ],
            &[],
        ),
        case(
            "groups over names that say too little without them",
            ",Vehicle,Engine,,Intake air,Ambient air\nTime [s],Speed [km/h],Speed [1/min],Throttle [%],Temperature [°C],Temperature [°C]\n0,0,900,0,30,20\n0.5,10.5,2000,100,31,20\n1,21,3000,100,32,20\n",
            &[
                "Vehicle Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Engine Speed = engine_speed [rpm] 0:900 0.5:2000 1:3000",
                "Throttle = throttle [%] 0:0 0.5:100 1:100",
                "Intake air Temperature = inlet_air [°C] 0:30 0.5:31 1:32",
                "Ambient air Temperature = ambient_air [°C] 0:20 0.5:20 1:20",
            ],
            &[],
        ),
        case(
            "who drove is no group",
            "Driver,Speedy,,\nTime (s),RPM,Speed (km/h),Speed (km/h)\n0,900,0,1\n0.5,2000,10.5,2\n1,3000,21,3\n",
            &[
                "RPM = engine_speed [rpm] 0:900 0.5:2000 1:3000",
                SPEED_LINE,
                "Speed (2) = vehicle_speed [km/h] 0:1 0.5:2 1:3",
            ],
            &["name_twice", "role_twice"],
        ),
        case(
            "letters with accents of Mac OS Roman",
            b"Temps (s),Temp\x8erature d'admission (\xa1C),Velocit\x88 (km/h)\n0,21,0\n0.5,22,10.5\n1,23,21\n",
            &[
                "Température d'admission = inlet_air [°C] 0:21 0.5:22 1:23",
                "Velocità = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
            ],
            &["encoding"],
        ),
        case(
            "the degree sign of Mac OS Roman",
            b"Time (s),Intake air (\xa1C)\n0,21\n0.5,22\n1,23\n",
            &["Intake air = inlet_air [°C] 0:21 0.5:22 1:23"],
            &["encoding"],
        ),
        case(
            "Dutch",
            "Tijd (s);Rijsnelheid (km/u);Inlaatdruk (kPa);Versnelling\n0;0;35;1\n0,5;10,5;110;1\n1;21;180;2\n",
            &[
                "Rijsnelheid = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Inlaatdruk = manifold_pressure [kPa] 0:35 0.5:110 1:180",
                "Versnelling = gear [-] 0:1 0.5:1 1:2",
            ],
            &[],
        ),
        case(
            "Shift-JIS",
            encoding_rs::SHIFT_JIS
                .encode("時間(秒),車速(km/h),吸気管圧力(kPa)\n0,0,35\n0.5,10.5,110\n1,21,180\n")
                .0,
            &[
                "車速 = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "吸気管圧力 = manifold_pressure [kPa] 0:35 0.5:110 1:180",
            ],
            &["encoding"],
        ),
        case(
            "French in Latin-1 is not Shift-JIS",
            encoding_rs::WINDOWS_1252
                .encode("Temps (s);Régime moteur (tr/min);Température extérieure créée (°C)\n0;800;20\n0,5;900;20,5\n1;950;21\n")
                .0,
            &["Régime moteur = engine_speed [rpm] 0:800 0.5:900 1:950"],
            &["encoding"],
        ),
    ]
}

/// Encoded by encoding_rs, whose tables are those of the WHATWG standard.
pub fn older_encodings() -> Vec<Case> {
    let table = |names: &str| format!("{names}\n0,0,850\n0.5,10.5,2100\n1,21,3000\n");
    let in_ = |encoding: &'static encoding_rs::Encoding, names: &str| {
        let text = table(names);
        let (bytes, _, unmapped) = encoding.encode(&text);
        assert!(!unmapped, "{names}");
        bytes.into_owned()
    };
    vec![
        case(
            "GB 18030",
            in_(encoding_rs::GB18030, "时间(s),车速(km/h),发动机转速(rpm)"),
            &[
                "车速 = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "发动机转速 = engine_speed [rpm] 0:850 0.5:2100 1:3000",
            ],
            &["encoding"],
        ),
        case(
            "EUC-JP",
            in_(encoding_rs::EUC_JP, "時間(秒),車速(km/h),エンジン回転数(rpm)"),
            &[
                "車速 = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "エンジン回転数 = engine_speed [rpm] 0:850 0.5:2100 1:3000",
            ],
            &["encoding"],
        ),
        case(
            "EUC-JP, no letter that is Japanese alone",
            in_(encoding_rs::EUC_JP, "時間(秒),車速(km/h),回転数(rpm)"),
            &["車速 = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
            &["encoding"],
        ),
        case(
            "Windows-1251",
            in_(encoding_rs::WINDOWS_1251, "Время (s),Скорость (km/h),Обороты двигателя (rpm)"),
            &[
                "Скорость = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Обороты двигателя = engine_speed [rpm] 0:850 0.5:2100 1:3000",
            ],
            &["encoding"],
        ),
        case(
            "Windows-1250, Polish",
            in_(encoding_rs::WINDOWS_1250, "Czas (s),Prędkość (km/h),Obroty (rpm)"),
            &[
                "Prędkość = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Obroty = engine_speed [rpm] 0:850 0.5:2100 1:3000",
            ],
            &["encoding"],
        ),
        case(
            "Windows-1250, Czech",
            in_(encoding_rs::WINDOWS_1250, "Čas (s),Rychlost (km/h),Otáčky motoru (rpm)"),
            &[
                "Rychlost = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Otáčky motoru = engine_speed [rpm] 0:850 0.5:2100 1:3000",
            ],
            &["encoding"],
        ),
        case(
            "EUC-KR",
            in_(encoding_rs::EUC_KR, "시간(s),차속(km/h),엔진 회전수(rpm)"),
            &["차속 = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
            &["encoding"],
        ),
    ]
}

/// What Western languages write in Windows-1252 stays that, down to one letter.
#[test]
fn western_texts_are_not_taken_for_another_alphabet() {
    for names in [
        "Zeit [s];Kühlwasser [°C]",
        "Time (s),Coolant (°C)",
        "Time (s),Accel (m/s²),Angle (°),Load (µV)",
        "Temps (s);Vitesse véhicule (km/h)",
        "Temps (s);Régime moteur;Température extérieure créée;Pédale d'accélérateur;À côté",
        "Tempo (s);Velocità;Più;Pressione",
        "Tiempo (s);Presión;Aceleración;Año;Motor después",
        "Tempo (s);Velocidade do veículo;Rotação;Pressão;Temperatura da água",
        "Tid (s);Hastighet;Kjølevæske;Gir;Trykk på",
        "Tijd (s);Koelvloeistof;Geïntegreerd",
        "Aika (s);Jäähdytysneste;Kierrosluku",
        "Zeit;Außen;Öl;Größe;Lüfter",
    ] {
        let (bytes, ..) = encoding_rs::WINDOWS_1252.encode(names);
        let file = [&bytes, &b"\n0;1;2;3;4\n1;1;2;3;4\n2;1;2;3;4\n"[..]].concat();
        let said = match pullmark::log::read("a.csv", &file) {
            Ok(log) => log.problems[0].text.clone(),
            Err(error) => panic!("{names}: {error}"),
        };
        assert!(said.contains("read as Windows-1252"), "{names}: {said}");
    }
}

pub fn cells() -> Vec<Case> {
    vec![
        case(
            "states in words beside the numbers",
            "Time (s),Speed (km/h),Brake,Gear,Mode\n0,0,TRUE,1st,Sport\n0.5,10.5,FALSE,1st,Sport\n1,21,FALSE,2nd,Sport\n",
            &[SPEED_LINE, "Gear = gear [-] 0:1 0.5:1 1:2"],
            &["columns_left_out", "unit_guessed"],
        ),
        case(
            "gears in words",
            "Time (s),Speed (km/h),Gear\n0,0,Gear 1\n0.5,10.5,Gear 1\n1,21,Gear 2\n",
            &[SPEED_LINE, "Gear = gear [-] 0:1 0.5:1 1:2"],
            &[],
        ),
        case(
            "a number for nothing",
            "Time (s),Speed (km/h),Coolant (C)\n0,0,80\n0.5,10.5,-9999\n1,21,81\n1.5,65535,81.5\n2,40,82\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21 2:40",
                "Coolant = coolant [°C] 0:80 1:81 1.5:81.5 2:82",
            ],
            &["code_for_nothing", "code_for_nothing"],
        ),
    ]
}

const LONG: &[&str] = &[
    "Engine Speed = engine_speed [rpm] 0:800 1:900 2:950",
    "Speed = vehicle_speed [km/h] 0:0 1:10",
];

pub fn long_tables() -> Vec<Case> {
    vec![
        case(
            "a reading a line",
            "time (s),channel,value\n0,Engine Speed (rpm),800\n0,Speed (km/h),0\n1,Engine Speed (rpm),900\n1,Speed (km/h),10\n2,Engine Speed (rpm),950\n",
            LONG,
            &[],
        ),
        case(
            "a reading a line with its unit, in quotes",
            "\"SECONDS\";\"PID\";\"VALUE\";\"UNITS\"\n\"5,0\";\"Engine Speed\";\"800\";\"rpm\"\n\"5,0\";\"Speed\";\"0\";\"km/h\"\n\"6,0\";\"Engine Speed\";\"900\";\"rpm\"\n\"6,0\";\"Speed\";\"10\";\"km/h\"\n\"7,0\";\"Engine Speed\";\"950\";\"rpm\"\n",
            LONG,
            &[],
        ),
        case(
            "one channel after the other",
            "channel,time (s),value\nEngine Speed (rpm),0,800\nEngine Speed (rpm),1,900\nEngine Speed (rpm),2,950\nSpeed (km/h),0,0\nSpeed (km/h),1,10\n",
            LONG,
            &[],
        ),
    ]
}

/// Exports of databases: what the columns are stands in comments, a reading a line, the
/// series one after the other, tables one below the other.
pub fn databases() -> Vec<Case> {
    const SAYS: &str = "#group,false,false,true,true,false,false,true,true\n\
        #datatype,string,long,dateTime:RFC3339,dateTime:RFC3339,dateTime:RFC3339,double,string,string\n\
        #default,_result,,,,,,,\n";
    const NAMES: &str = ",result,table,_start,_stop,_time,_value,_field,_measurement\n";
    const DAY: &str = "2024-06-14T00:00:00Z,2024-06-15T00:00:00Z";
    let row = |table: u32, second: u32, value: u32, field: &str| {
        format!(",,{table},{DAY},2024-06-14T11:37:{second:02}Z,{value},{field},car\n")
    };
    let engine =
        |table| [(10, 800), (11, 900), (12, 950)].map(|(s, v)| row(table, s, v, "rpm")).concat();
    let speed = |table| [(10, 0), (11, 10)].map(|(s, v)| row(table, s, v, "speed_kmh")).concat();
    let pivot = |second: u32, rpm: u32, speed: u32| {
        format!(",,0,{DAY},2024-06-14T11:37:{second:02}Z,car,{rpm},{speed}\n")
    };
    vec![
        case(
            "annotated, the series in one table",
            format!("{SAYS}{NAMES}{}{}", engine(0), speed(1)),
            SERIES,
            &[],
        ),
        case(
            "the same in rows of their time",
            format!("{SAYS}{NAMES}{}", {
                let (engine, speed) = (engine(0), speed(1));
                let rows = engine.lines().zip(speed.lines().chain([""]));
                rows.map(|(a, b)| format!("{a}\n{b}\n")).collect::<String>()
            }),
            SERIES,
            &[],
        ),
        case(
            "annotated, a table for each series",
            format!("{SAYS}{NAMES}{}\n{SAYS}{NAMES}{}\n", engine(0), speed(1)),
            SERIES,
            &["header_repeated"],
        ),
        case(
            "annotated, a table of other columns below",
            format!(
                "{SAYS}{NAMES}{}\n{}{}{}\n",
                engine(0),
                SAYS.replace("string\n", "string,string\n"),
                NAMES.replace("_measurement", "_measurement,side"),
                speed(1).replace("car\n", "car,left\n")
            ),
            SERIES,
            &["rows_long", "header_repeated"],
        ),
        case(
            "a series cut into windows is one channel",
            format!(
                "{SAYS}{NAMES}{}{}{}",
                row(0, 10, 800, "rpm"),
                row(1, 11, 900, "rpm"),
                row(2, 12, 950, "rpm")
            ),
            &["rpm = engine_speed [rpm] 0:800 1:900 2:950"],
            &[],
        ),
        case(
            "series of one name side by side are several",
            format!("{SAYS}{NAMES}{}{}", speed(0), speed(1)),
            &[
                "speed_kmh (series 0) = vehicle_speed [km/h] 0:0 1:10",
                "speed_kmh (series 1) = vehicle_speed [km/h] 0:0 1:10",
            ],
            &["role_twice"],
        ),
        case(
            "annotated, a column a channel",
            format!(
                "#datatype,string,long,dateTime:RFC3339,dateTime:RFC3339,dateTime:RFC3339,string,long,double\n\
                 ,result,table,_start,_stop,_time,_measurement,rpm,speed_kmh\n{}{}{}",
                pivot(10, 800, 0),
                pivot(11, 900, 10),
                pivot(12, 950, 20)
            ),
            &[
                "rpm = engine_speed [rpm] 0:800 1:900 2:950",
                "speed_kmh = vehicle_speed [km/h] 0:0 1:10 2:20",
            ],
            &["columns_left_out"],
        ),
    ]
}

const SERIES: &[&str] =
    &["rpm = engine_speed [rpm] 0:800 1:900 2:950", "speed_kmh = vehicle_speed [km/h] 0:0 1:10"];

pub fn blanks() -> Vec<Case> {
    vec![
        case(
            "simplified Chinese",
            "时间(s),车速(km/h),发动机转速(rpm)\n0,0,850\n0.5,10.5,2100\n1,21,3000\n",
            &[
                "车速 = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "发动机转速 = engine_speed [rpm] 0:850 0.5:2100 1:3000",
            ],
            &[],
        ),
        case("cells parted by blanks", "time_s speed_kmh\n0 0\n0.5 10.5\n1 21\n", BLANKS, &[]),
        case(
            "columns set in line by blanks",
            "   time_s   speed_kmh\n      0         0.0\n    0.5        10.5\n      1        21.0\n",
            BLANKS,
            &[],
        ),
    ]
}

const BLANKS: &[&str] = &["speed_kmh = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"];

pub fn positions() -> Vec<Case> {
    vec![case(
        "positions in degrees and minutes, with their hemispheres",
        "Time (s),Latitude,Longitude\n0,48°06.0'N,11.50 W\n1,48°06.6'N,11.51 W\n2,48°07.2'N,11.52 W\n",
        &[
            "Latitude = latitude [°] 0:48.1 1:48.11 2:48.12",
            "Longitude = longitude [°] 0:-11.5 1:-11.51 2:-11.52",
        ],
        &[],
    )]
}
