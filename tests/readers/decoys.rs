//! Names that hold a known word and mean another thing, and units that are nearly known.
//!
//! What a name means is the language's; factors are exact: 1 ft = 0.3048 m, and a tick of
//! 10 ms is 10 ms.

use pullmark::log::{Channel, Log, read};

/// A table of one channel, ten records a second.
fn column(name: &str, values: &[&str]) -> Log {
    let rows =
        values.iter().enumerate().map(|(n, value)| format!("{}.{};{value}\n", n / 10, n % 10));
    let table = format!("Time (s);{name}\n{}", rows.collect::<String>());
    read("a.csv", table.as_bytes()).unwrap()
}

fn role(name: &str, values: &[&str]) -> &'static str {
    column(name, values).channels.first().and_then(|channel| channel.role).map_or("-", |r| r.code())
}

#[test]
fn what_is_wanted_limited_or_another_s_is_not_the_thing_itself() {
    let speeds = [
        "Top speed",
        "Mean speed",
        "Slip speed",
        "Closing speed",
        "Lead vehicle speed",
        "Launch control speed",
        "Shift speed",
        "Reference speed offset",
        "GPS velocity down",
        "Geschwindigkeitsbegrenzer",
        "Zielgeschwindigkeit",
        "Sollgeschwindigkeit",
        "Höchstgeschwindigkeit",
        "Windgeschwindigkeit",
        "Vitesse maximale",
        "Vitesse du vent",
        "Velocidad máxima",
        "Velocidad del viento",
        "Velocità obiettivo",
        "Velocità massima",
        "Snelheidslimiet",
        "Doelsnelheid",
        "Vitesse roue",
        "Vitesse engagée",
        "Gemiddelde snelheid",
        "Windsnelheid",
        "制限速度",
        "最高速度",
        "平均速度",
    ];
    let engine = [
        "Shift light rpm",
        "Launch rpm",
        "Motordrehzahlbegrenzung",
        "Solldrehzahl",
        "Leerlaufsolldrehzahl",
        "Drehzahlgrenze",
        "Höchstdrehzahl",
        "Régime boîte",
        "Régime limite",
        "Régimen límite",
        "Limite giri",
        "Giri minimo richiesti",
        "Gewenst toerental",
        "Toerentalbegrenzer",
        "ファン回転数",
        "タービン回転数",
    ];
    let pressures = [
        "Compressor inlet pressure",
        "Turbine inlet pressure",
        "Sollladedruck",
        "Maximaler Ladedruck",
        "Presión de sobrealimentación solicitada",
        "Pressione turbo richiesta",
        "Gewenste laaddruk",
    ];
    let heat = [
        "Throttle body temp",
        "Water injection temp",
        "Coolant fan temp on",
        "Kühlmittel-Solltemperatur",
        "IAT timing retard",
        "Airbox heater temp",
    ];
    let others = [
        "Idle throttle adaption",
        "Cruise throttle",
        "Hand throttle enable",
        "Drosselklappensollwinkel",
        "Mariposa solicitada",
        "Farfalla richiesta",
        "Pedal map select",
        "Gear selector",
        "Gear recommendation",
        "Reverse gear switch",
        "Rapport de pont",
        "Marcha deseada",
        "Gewenste versnelling",
        "Geoid height",
        "Resultant acceleration",
    ];
    let mut wrong = Vec::new();
    for (names, unit, values) in [
        (&speeds[..], " (km/h)", ["80", "90", "100"]),
        (&engine, " (rpm)", ["800", "900", "1000"]),
        (&pressures, " (kPa)", ["101", "150", "200"]),
        (&heat, " (°C)", ["20", "40", "60"]),
        (&others, "", ["1", "2", "3"]),
    ] {
        for name in names {
            let found = role(&format!("{name}{unit}"), &values);
            wrong.extend((found != "-").then(|| format!("{name}: {found}")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn air_before_the_charge_cooler_is_not_the_charge_air() {
    for name in [
        "IAT pre IC (°C)",
        "Intercooler inlet air temp (°C)",
        "Ladeluft vor LLK (°C)",
        "Ladeluft vor Kühler (°C)",
        "CAC in temp (°C)",
        "Temperatura antes del intercooler (°C)",
        "Temperatura prima intercooler (°C)",
    ] {
        assert_eq!(role(name, &["60", "90", "120"]), "compressor_outlet_air", "{name}");
    }
    for name in ["Ladeluft nach LLK (°C)", "Laddlufttemperatur (°C)", "T° sortie échangeur (°C)"]
    {
        assert_eq!(role(name, &["30", "35", "40"]), "charge_air", "{name}");
    }
}

/// Names of one role in the languages of the trade; each must be found alone.
#[test]
fn wheels_satellites_and_plain_things_are_known_in_every_language() {
    let rows: [(&str, &[&str]); 17] = [
        (
            "wheel_speed_front_left",
            &["Vitesse roue AVG", "Velocidad rueda DI", "Velocità ruota ant sx"],
        ),
        ("wheel_speed_front_left", &["Wielsnelheid LV", "車輪速FL", "Vitesse roue avant gauche"]),
        (
            "wheel_speed_front_right",
            &["Vitesse roue AVD", "Velocidad rueda DD", "Velocità ruota ant dx"],
        ),
        ("wheel_speed_front_right", &["Wielsnelheid RV", "Velocidad rueda delantera derecha"]),
        (
            "wheel_speed_rear_left",
            &["Vitesse roue ARG", "Velocidad rueda TI", "Velocità ruota post sx"],
        ),
        ("wheel_speed_rear_left", &["Velocidad de la rueda trasera izquierda", "Wielsnelheid LA"]),
        (
            "wheel_speed_rear_right",
            &["Vitesse roue ARD", "Velocidad rueda TD", "Velocità ruota post dx"],
        ),
        (
            "wheel_speed_rear_right",
            &["Wielsnelheid RA", "車輪速RR", "Velocità ruota posteriore destra"],
        ),
        ("satellite_speed", &["GPS速度", "GPS車速", "Vitesse GPS", "GPS snelheid"]),
        ("vehicle_speed", &["Vit. véh.", "車両速度", "Tempo", "Tacho"]),
        ("-", &["Vitesse roue", "Velocidad rueda", "Velocità ruota", "Wielsnelheid", "風速"]),
        (
            "-",
            &["Tempomat-Geschwindigkeit", "Vitesse moyenne", "Velocidad media", "Streefsnelheid"],
        ),
        (
            "-",
            &[
                "Grenzgeschwindigkeit",
                "Vitesse de consigne",
                "Velocità minima",
                "Schlupfgeschwindigkeit",
            ],
        ),
        ("-", &["Tyre speed rating", "Overspeed warning", "Navigation speed", "Speed correction"]),
        (
            "-",
            &[
                "Spitzengeschwindigkeit",
                "Richtgeschwindigkeit",
                "Schnittgeschwindigkeit",
                "Corner speed",
            ],
        ),
        (
            "-",
            &[
                "Vitesse régulateur",
                "Velocidad de crucero",
                "Velocità di punta",
                "Ingestelde snelheid",
            ],
        ),
        ("vehicle_speed", &["v_ist", "Vitesse instantanée", "Werkelijke snelheid", "現在速度"]),
    ];
    let heat: [(&str, &[&str]); 7] = [
        (
            "charge_air",
            &["Air suralimenté", "Température après échangeur", "Temperatura uscita intercooler"],
        ),
        (
            "charge_air",
            &["Charge air cooler outlet temp", "Ladelufttemperatur nach Kühler", "Aftercooler"],
        ),
        (
            "compressor_outlet_air",
            &[
                "Aftercooler inlet temp",
                "Temperatura ingresso intercooler",
                "インタークーラー前温度",
            ],
        ),
        ("coolant", &["Kühlmittel vor Kühler", "KMT", "ECU.Coolant.Temp", "T_cool"]),
        ("compressor_outlet_air", &["Ladeluft ein", "LLK Eingang", "Intercooler in", "IC inlet"]),
        ("-", &["Radiator inlet", "IAT post", "Intercooler core temp", "Radiator outlet"]),
        (
            "-",
            &["Kühler Austrittstemperatur", "ECU temp", "Coolant temp warning", "Max coolant temp"],
        ),
    ];
    let mut wrong = Vec::new();
    for (rows, unit, values) in
        [(&rows[..], "km/h", ["8", "33", "20"]), (&heat, "°C", ["41", "42", "44"])]
    {
        for (wanted, names) in rows {
            for name in *names {
                let found = role(&format!("{name} ({unit})"), &values);
                wrong.extend((found != *wanted).then(|| format!("{name}: {found}, not {wanted}")));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What stands before the throttle or behind the engine is no manifold pressure, and a
/// number that only tells when to shift is no engine speed.
#[test]
fn pressures_and_turns_of_other_places_have_no_role() {
    let engine =
        ["Upshift RPM", "Nenndrehzahl", "Schaltdrehzahl", "Régime de coupure", "RPM corte"];
    let pressures = [
        "Throttle inlet pressure",
        "Turbo inlet pressure",
        "Pression collecteur échappement",
        "Presión colector escape",
        "Pressione collettore scarico",
    ];
    let others = ["Brake boost pressure", "Throttle closed learn"];
    for (names, unit, values) in [
        (&engine[..], "rpm", ["900", "2000", "3000"]),
        (&pressures, "kPa", ["98", "99", "97"]),
        (&others, "%", ["1", "9", "30"]),
    ] {
        for name in names {
            assert_eq!(role(&format!("{name} ({unit})"), &values), "-", "{name}");
        }
    }
}

/// The first channel with its values as written, and its unit.
fn written(log: &Log) -> (Vec<f64>, &'static str, Vec<f64>) {
    let channel: &Channel = &log.channels[0];
    let unit = channel.unit.unwrap();
    let value = channel.series.value.iter().map(|v| (unit.written(*v) * 1e6).round() / 1e6);
    let time = channel.series.time_s.iter().map(|t| (t * 1e6).round() / 1e6);
    (time.collect(), unit.symbol, value.collect())
}

#[test]
fn a_receiver_s_speed_is_one_in_the_letters_of_the_east_too() {
    for name in ["GPS速度 (km/h)", "GPS車速 (km/h)"] {
        assert_eq!(role(name, &["80", "90", "100"]), "satellite_speed", "{name}");
    }
}

/// -0.6 to 0.9 is a turbo's range in bar; in psi no engine would move.
#[test]
fn a_boost_of_less_than_one_is_in_bar() {
    let (_, unit, _) = written(&column("Boost", &["-0.6", "0.2", "0.9"]));
    assert_eq!(unit, "bar gauge");
}

#[test]
fn a_clock_s_ticks_are_counted_in_their_unit() {
    for (unit, tick_s) in [
        ("10 ms", 0.01),
        ("x100 ms", 0.1),
        ("0.1 s", 0.1),
        ("1/10 s", 0.1),
        ("1/100 s", 0.01),
        ("1/1000 s", 0.001),
        ("0.01 s", 0.01),
        ("cs", 0.01),
        ("ds", 0.1),
        ("100 us", 1e-4),
    ] {
        for brackets in ["()", "[]"] {
            let (open, close) = brackets.split_at(1);
            let table = format!("Time {open}{unit}{close},Speed (km/h)\n0,0\n10,10.5\n20,21\n");
            let (time, ..) = written(&read("a.csv", table.as_bytes()).unwrap());
            assert_eq!(time, [0.0, 10.0 * tick_s, 20.0 * tick_s], "{unit}");
        }
    }
}

#[test]
fn units_with_a_word_more_are_what_they_say() {
    for (name, values, symbol) in [
        ("MAP (mmHg abs)", ["284", "760", "1466"], "mmHg"),
        ("Ladedruck (barü)", ["-0.6", "0.2", "0.9"], "bar gauge"),
        ("Boost (bar relative)", ["-0.6", "0.2", "0.9"], "bar gauge"),
        ("Accel X (ft/sec2)", ["0.5", "1.5", "9.5"], "ft/s²"),
        ("Engine speed (1/s)", ["15", "50", "90"], "rev/s"),
        ("v_vehicle_m_s", ["0", "10", "20"], "m/s"),
        ("Coolant (°C, filtered)", ["80", "81", "82"], "°C"),
        ("Motordrehzahl 1/min", ["800", "900", "1000"], "rpm"),
        ("Coolant temp ℃", ["80", "81", "82"], "°C"),
        ("Speed (km&#47;h)", ["80", "90", "100"], "km/h"),
        ("Long. acc. (g)", ["- 0.12", "0.1", "+ 0.3"], "g"),
        ("Coolant (&deg;C)", ["80", "81", "82"], "°C"),
        ("MAP [kPa(a)]", ["38", "101", "180"], "kPa"),
        ("Boost [psi(g)]", ["-9", "3", "14"], "psi gauge"),
        ("MAP (PSI-A)", ["5.5", "14.7", "22"], "psi"),
        ("Speed [m/s] (GPS)", ["0", "10", "20"], "m/s"),
        ("Speed m/s", ["0", "10", "20"], "m/s"),
        ("Engine speed 1/min", ["850", "3000", "4500"], "rpm"),
        ("Motortoerental (tpm)", ["850", "3000", "4500"], "rpm"),
        ("Engine speed (1000/min)", ["0.85", "3", "4.5"], "1000 rpm"),
        ("T_cool_degC", ["80", "81", "82"], "°C"),
        ("Vehicle speed (mm/s)", ["0", "10000", "20000"], "mm/s"),
        ("Coolant (0.1 °C)", ["800", "810", "820"], "0.1 °C"),
        ("IAT [0.1°C]", ["45", "46", "47"], "0.1 °C"),
        ("Speed (0.1 km/h)", ["0", "100", "377"], "0.1 km/h"),
        ("Speed (1/256 km/h)", ["0", "2560", "25600"], "0.00390625 km/h"),
        ("RPM (0.25 rpm)", ["3400", "6000", "9000"], "0.25 rpm"),
        // How finely it is written, not what one count is.
        ("Speed (0.1 mph)", ["0.0", "10.3", "37.7"], "mph"),
    ] {
        let (_, unit, value) = written(&column(name, &values));
        assert_eq!(unit, symbol, "{name}");
        let wanted = values.map(|value| value.replace(' ', "").parse::<f64>().unwrap());
        assert_eq!(value, wanted, "{name}");
    }
}

#[test]
fn a_unit_that_is_not_known_is_no_licence_to_guess() {
    let log = column("Vehicle speed (km/h x10)", &["0", "105", "210"]);
    assert_eq!((log.channels[0].role, log.channels[0].unit), (None, None));
    assert_eq!(
        log.problems[0].text,
        "\"Vehicle speed (km/h x10)\" is named like vehicle speed, but its unit (km/h x10) is not known; \
         it was given no role."
    );
}

/// One turn is 2π rad, so that 100π rad/s are 50 turns a second: 3000 a minute.
#[test]
fn an_engine_may_turn_in_radians_a_second() {
    let log = column("Engine speed (rad/s)", &["0", "157.07963268", "314.15926536"]);
    assert_eq!(log.channels[0].role.map(|role| role.code()), Some("engine_speed"));
    let off = log.channels[0].series.value.iter().zip([0.0, 1500.0, 3000.0]).map(|(a, b)| a - b);
    assert!(off.fold(0.0, |most: f64, off| most.max(off.abs())) < 1e-4);
}

#[test]
fn a_units_row_with_a_unit_that_is_not_known_is_no_licence_either() {
    let file = "Time,Speed,RPM\ns,furlong/day,1/min\n0,0,800\n1,10,900\n2,20,1000\n";
    let log = read("a.csv", file.as_bytes()).unwrap();
    let roles: Vec<_> = log.channels.iter().map(|channel| channel.role).collect();
    assert_eq!(roles, [None, Some(pullmark::log::Role::EngineSpeed)]);
    assert_eq!(
        log.problems[0].text,
        "\"Speed\" is named like vehicle speed, but its unit (furlong/day) is not known; it was given no role."
    );
}

#[test]
fn units_in_cells_hold_for_their_cell() {
    let (_, unit, value) = written(&column("Speed", &["100 km/h", "62 mph", "50 km/h"]));
    assert_eq!((unit, value), ("km/h", vec![100.0, 62.0 * 1.609344, 50.0]));
    let (_, unit, value) = written(&column("RPM", &["900", "1.25k", "4.489k"]));
    assert_eq!((unit, value), ("rpm", vec![900.0, 1250.0, 4489.0]));
}

/// Minutes of a position are of an arc, not of time.
#[test]
fn minutes_of_a_position_are_no_clock() {
    let file = "Time (s),Latitude (min),Longitude (min),Speed (km/h)\n0,2886,690,0\n1,2886.1,690.1,10\n2,2886.2,690.2,20\n";
    let log = read("a.csv", file.as_bytes()).unwrap();
    let speed = log.channels.iter().find(|channel| channel.name == "Speed").unwrap();
    assert_eq!(speed.series.time_s[..], [0.0, 1.0, 2.0]);
}

/// East is a part of where the car goes; 3 of a velocity of 5 m/s, say.
#[test]
fn a_part_of_a_velocity_is_no_speed_of_the_car() {
    for name in [
        "Vel E (m/s)",
        "Vel D (m/s)",
        "V_x (m/s)",
        "Speed X (km/h)",
        "GPS Vel N (m/s)",
        "GPS speed east (m/s)",
        "Geschwindigkeit Ost (km/h)",
        "Velocidad este (km/h)",
        "Piston speed (m/s)",
        "Dämpfergeschwindigkeit (m/s)",
        "Speed of sound (m/s)",
    ] {
        assert_eq!(column(name, &["0", "10", "20"]).channels[0].role, None, "{name}");
    }
}

/// The French article is no direction.
#[test]
fn an_article_takes_nothing_from_a_speed() {
    assert_eq!(role("Vitesse d'avancement (km/h)", &["0", "10", "20"]), "vehicle_speed");
}

/// Degrees west are negative degrees east (ISO 6709, 6.2).
#[test]
fn degrees_counted_the_other_way_are_no_longitude() {
    let log = column("Longitude (°W)", &["5.85", "5.8501", "5.8502"]);
    assert_eq!(log.channels[0].role, None);
    assert!(column("Longitude (°)", &["5.85", "5.8501", "5.8502"]).channels[0].role.is_some());
}

/// `359l` is an ill-read 3591 and no litre.
#[test]
fn a_cell_in_a_unit_of_another_quantity_is_no_reading() {
    let log = column("Engine speed (rpm)", &["3580", "359l", "3600"]);
    assert_eq!(log.channels[0].series.value, [3580.0, 3600.0]);
    assert!(
        log.problems.iter().any(|problem| problem.code == "cells_unread"),
        "{:?}",
        log.problems
    );
}

/// 248 °F are 120 °C: (248 − 32) · 5/9.
#[test]
fn a_cell_in_another_unit_than_the_header_s_is_read_in_its_own() {
    let log = column("Coolant (°C)", &["110", "248 °F", "121"]);
    let off = log.channels[0].series.value.iter().zip([110.0, 120.0, 121.0]).map(|(a, b)| a - b);
    assert!(off.fold(0.0, |most: f64, off| most.max(off.abs())) < 1e-9);
}

/// RFC 4180, section 2, rule 5: a quotation mark behind a blank quotes nothing.
#[test]
fn a_name_torn_at_a_separator_is_refused() {
    let file = "\"Time (s)\", \"Speed, GPS (km/h)\", \"RPM\"\n0, \"0\", \"800\"\n1, \"1\", \"900\"\n2, \"2\", \"1000\"\n";
    let error = read("a.csv", file.as_bytes()).unwrap_err().to_string();
    assert_eq!(
        error,
        "a.csv, line 1: the name \"Speed is torn in two: its quotation mark stands behind a blank. \
         Save the log again without blanks between a separator and a quotation mark."
    );
}

#[test]
fn records_of_several_kinds_under_names_of_their_own_are_refused() {
    let file = "A,Time (s),Speed (km/h),RPM\nB,Time (s),IAT (°C),ECT (°C)\nA,0,0,850\nB,0,30,80\nA,0.1,1,900\nA,0.2,2,950\nB,0.2,31,80\n";
    let error = read("a.csv", file.as_bytes()).unwrap_err().to_string();
    assert_eq!(
        error,
        "a.csv, lines 1 to 2: records of several kinds stand among one another, told by their first \
         cell (\"A\", \"B\"), each with names of its own. Save the records of each kind as a file of \
         their own, and open these together."
    );
}

/// A range, or a unit of which none is known to count in such parts, is said.
#[test]
fn a_number_before_a_unit_is_taken_for_nothing_else() {
    for name in ["Speed (10 km/h)", "Long. accel (2 g)", "IAT (0.3 °C)"] {
        let log = column(name, &["1", "2", "3"]);
        let channel = &log.channels[0];
        assert_eq!((channel.role, channel.unit), (None, None), "{name}: {}", channel.how);
    }
}
