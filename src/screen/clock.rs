//! Part 4, "Can the clock be believed?": every mark with its ±, the witnesses, the
//! reasons.

use super::labels;
use super::launches::{self, Compared};
use super::verdict::{self, deciding, spun, unbelievable};
use super::{Cell, Column, Figure, Head, How, Note, Row, Sentence, Table, Tone, notes};
use crate::chart::ChartId;
use crate::sheet::{MarkRow, PullRow, Sheet, SpinRow};
use crate::unit::STANDARD_GRAVITY;
use crate::unit::reader::{Units, maybe, number, second_decimals, seconds_text};

#[derive(Debug, Clone, PartialEq)]
pub struct Clock {
    pub head: Head,
    /// All launches from time zero, over time and over distance; none without a pull from
    /// rest.
    pub launches: Option<[Figure; 2]>,
    pub overview: Table,
    pub compared: Compared,
    pub pulls: Vec<PullClock>,
}

/// The case of one pull.
#[derive(Debug, Clone, PartialEq)]
pub struct PullClock {
    pub log: usize,
    pub number: u32,
    pub name: String,
    pub verdict: Sentence,
    /// The verdict's word alone, for the folded line.
    pub word: String,
    pub reasons: Vec<Note>,
    pub figure: Figure,
    pub marks: Table,
    pub spin: Vec<String>,
    /// Mean and peak acceleration, with their windows.
    pub push: Option<String>,
    /// Opened from the start: what the tyres spoilt needs its case read.
    pub open: bool,
}

/// Void pulls told of in the answer itself; an answer is short.
const MOST_VOIDS: usize = 2;

pub fn part(sheet: &Sheet, units: &Units) -> Clock {
    let counted: Vec<&PullRow> = sheet.pulls.iter().filter(|p| p.set_aside.is_none()).collect();
    let standing = counted.iter().any(|pull| pull.kind == "standing");
    let spun = counted.iter().filter(|pull| spun(pull)).count();
    Clock {
        head: Head {
            question: "Can the clock be believed?",
            answer: answer(sheet, &counted),
            how: how(sheet),
            cautions: if spun >= 2 {
                vec![
                    "The tyres slipped in more than one run: a spin flag is also a safety flag. \
                     Wet, cold or dusty ground is a reason to stop.",
                ]
            } else {
                Vec::new()
            },
        },
        launches: standing.then(|| overlaid(&counted)),
        overview: overview(sheet, &counted, units),
        compared: launches::compared(sheet, &counted, units),
        pulls: sheet.pulls.iter().map(|pull| case(sheet, pull, units)).collect(),
    }
}

fn answer(sheet: &Sheet, counted: &[&PullRow]) -> Vec<Sentence> {
    let Some(best) = best(counted) else {
        return std::iter::once(nothing_stands(counted)).chain(mostly(counted)).collect();
    };
    let (pull, mark) = best;
    let stand = counted.iter().filter(|pull| pull.verdict == "stands").count();
    let mut said = vec![Sentence::new(
        Tone::Good,
        format!(
            "The quickest {} that stands is {} ({}); {stand} of {} stand.",
            labels::mark(&mark.mark),
            seconds_text(mark.time_s, mark.plus_minus_s),
            labels::pull(sheet, pull),
            super::counted(counted.len(), "pull"),
        ),
    )];
    said.extend(worst_first(counted).into_iter().filter_map(|p| claim(sheet, p)).take(MOST_VOIDS));
    let voids: Vec<&&PullRow> = counted.iter().filter(|pull| pull.verdict == "void").collect();
    said.extend(voids.iter().take(MOST_VOIDS).map(|pull| void(sheet, pull)));
    if let Some(others) = voids.len().checked_sub(MOST_VOIDS).filter(|others| *others > 0) {
        let text = format!(
            "{} void; the case of each is below.",
            if others == 1 { "One more is".to_owned() } else { format!("{others} more are") }
        );
        said.push(Sentence::new(Tone::Bad, text));
    }
    said
}

fn nothing_stands(counted: &[&PullRow]) -> Sentence {
    match counted {
        [] => Sentence::new(Tone::Doubt, "There is no pull to time."),
        [one] => {
            let (word, tone) = labels::verdict(&one.verdict);
            let why = one.reasons.first().map_or(String::new(), |r| format!(": {}", r.text));
            Sentence::new(tone, format!("The one launch is {word}{why}"))
        }
        many => Sentence::new(
            Tone::Bad,
            format!("None of {} launches has a 0-60 mph that stands.", many.len()),
        ),
    }
}

/// The reason that most of several launches share, in its own words.
fn mostly(counted: &[&PullRow]) -> Option<Sentence> {
    if counted.len() < 2 {
        return None;
    }
    let first = counted.iter().filter_map(|pull| pull.reasons.first());
    let shared = |code: &str| {
        counted.iter().filter(|pull| pull.reasons.iter().any(|r| r.code == code)).count()
    };
    let most = first.max_by_key(|reason| shared(&reason.code))?;
    Some(Sentence::plain(format!("{} of {}: {}", shared(&most.code), counted.len(), most.text)))
}

/// The quickest standing 0-60 mph; failing one, the quickest deciding mark.
fn best<'a>(counted: &[&'a PullRow]) -> Option<(&'a PullRow, &'a MarkRow)> {
    let standing = counted.iter().filter(|pull| pull.kind == "standing");
    let marks = standing.filter_map(|pull| Some((*pull, deciding(pull)?)));
    marks.filter(|(_, mark)| mark.verdict == "stands" && mark.time_s.is_some()).min_by(|a, b| {
        let key = |mark: &MarkRow| (mark.mark != "0-60mph", mark.time_s.unwrap_or(f64::MAX));
        let ((a_other, a_s), (b_other, b_s)) = (key(a.1), key(b.1));
        a_other.cmp(&b_other).then(a_s.total_cmp(&b_s))
    })
}

/// Pulls whose logged time cannot be, the furthest off first.
fn worst_first<'a>(counted: &[&'a PullRow]) -> Vec<&'a PullRow> {
    let apart_s = |pull: &PullRow| {
        let (mark, logged_s) = unbelievable(pull)?;
        Some((mark.time_s? - logged_s).abs())
    };
    let mut all: Vec<(f64, &PullRow)> =
        counted.iter().filter_map(|&pull| Some((apart_s(pull)?, pull))).collect();
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    all.into_iter().map(|(_, pull)| pull).collect()
}

/// A spun launch is told of also where its time over the ground is known.
fn claim(sheet: &Sheet, pull: &PullRow) -> Option<Sentence> {
    if pull.verdict == "void" {
        return None;
    }
    let (mark, logged_s) = unbelievable(pull)?;
    let why = if spun(pull) { ": the tyres slipped" } else { "" };
    Some(Sentence::new(
        Tone::Bad,
        format!(
            "{}: do not believe the {} s that the log alone gives for {}{why}. Over the ground it \
             took {}, which {}.",
            labels::pull(sheet, pull),
            number(logged_s, 2),
            labels::mark(&mark.mark),
            seconds_text(mark.time_s, mark.plus_minus_s),
            if mark.verdict == "stands" { "stands" } else { "is in doubt" },
        ),
    ))
}

/// The first launch of its log whose logged time cannot be: its case is shown open.
fn is_first(sheet: &Sheet, pull: &PullRow) -> bool {
    let doubtful = |pull: &&PullRow| unbelievable(pull).is_some() && spun(pull);
    let first = sheet.pulls.iter().filter(|other| other.log == pull.log).find(doubtful);
    first.is_some_and(|first| first.number == pull.number)
}

/// "Void" in short, with the logged nonsense named as such.
fn void(sheet: &Sheet, pull: &PullRow) -> Sentence {
    let name = labels::pull(sheet, pull);
    let shown = deciding(pull).filter(|_| pull.kind == "standing").map_or(String::new(), |mark| {
        let what = format!("{} in ", labels::mark(&mark.mark));
        format!(" The log alone shows {}", verdict::shown(pull, mark, &what))
    });
    let why = pull.reasons.first().map_or("The log cannot carry it.", |reason| &reason.text);
    Sentence::new(Tone::Bad, format!("{name} is void.{shown} {why}"))
}

/// The same launches over time and over distance.
fn overlaid(counted: &[&PullRow]) -> [Figure; 2] {
    let standing: Vec<&&PullRow> = counted.iter().filter(|pull| pull.kind == "standing").collect();
    let void = standing.iter().filter(|pull| pull.verdict == "void").count();
    let title = match (standing.len(), void) {
        (1, 0) => "The launch over the ground".to_owned(),
        (1, _) => "The launch over the ground; dashed, for its time is void".to_owned(),
        (n, 0) => format!("The {n} launches from their own time zero"),
        (n, 1) => format!("The {n} launches from time zero; the dashed one is void"),
        (n, void) => format!("The {n} launches from time zero; the {void} dashed ones are void"),
    };
    let note = "Ground speed, the best estimate from all witnesses. Zero is the first motion.";
    let far = "Ground speed over the distance gone, the best estimate from all witnesses: a doubt \
               about the first moment hardly moves these lines.";
    let figure = |id, note: &str| Figure { id, title: title.clone(), note: note.to_owned() };
    [figure(ChartId::Launches, note), figure(ChartId::LaunchesOverDistance, far)]
}

fn overview(sheet: &Sheet, counted: &[&PullRow], units: &Units) -> Table {
    let marks = labels::first_marks(units);
    let mut columns = vec![Column::text("Pull"), Column::text("Verdict")];
    columns.extend(marks.iter().map(|code| Column::number(labels::mark(code))));
    columns.push(Column::number("Mean g, peak g over 0.2 s"));
    let row = |pull: &&PullRow| {
        let (word, tone) = labels::verdict(&pull.verdict);
        let mut cells = vec![Cell::new(labels::pull(sheet, pull)), Cell::toned(word, tone)];
        cells.extend(marks.iter().map(|code| overview_cell(pull, code)));
        let g = |mps2: Option<f64>| maybe(mps2.map(|a| a / STANDARD_GRAVITY), 2);
        cells.push(Cell::new(format!("{}, {}", g(pull.mean_accel_mps2), g(pull.peak_accel_mps2))));
        Row { cells, pale: pull.verdict == "void" }
    };
    Table {
        caption: "Times over the ground from first motion, ± half of the 95 % interval".to_owned(),
        columns,
        rows: counted.iter().map(row).collect(),
    }
}

/// A void time is not shown as a time: the cell says so.
fn overview_cell(pull: &PullRow, code: &str) -> Cell {
    let Some(mark) = pull.marks.iter().find(|mark| mark.mark == code) else {
        return Cell::new(maybe(None, 0));
    };
    let (word, tone) = labels::verdict(&mark.verdict);
    match mark.verdict.as_str() {
        "void" => Cell::toned(word, tone),
        _ => Cell::toned(seconds_text(mark.time_s, mark.plus_minus_s), tone),
    }
}

fn case(sheet: &Sheet, pull: &PullRow, units: &Units) -> PullClock {
    let name = labels::pull(sheet, pull);
    let (word, tone) = labels::verdict(&pull.verdict);
    let spin: Vec<String> = pull.spin.iter().map(|spin| spin_text(pull, spin, units)).collect();
    PullClock {
        log: pull.log,
        number: pull.number,
        verdict: Sentence::new(tone, verdict::case(pull)),
        word: if pull.set_aside.is_some() { format!("{word}, set aside") } else { word.to_owned() },
        reasons: notes(&pull.reasons),
        figure: witnesses(&name, pull),
        marks: marks(&name, pull, units),
        spin,
        push: push_text(pull),
        open: is_first(sheet, pull),
        name,
    }
}

fn spin_text(pull: &PullRow, spin: &SpinRow, units: &Units) -> String {
    let mut text = format!(
        "{} from {} to {} s after the start ({} s), up to {} % of road speed",
        super::capital(labels::spin(&spin.kind)),
        number(spin.from_s - pull.start_s, 1),
        number(spin.to_s - pull.start_s, 1),
        number(spin.to_s - spin.from_s, 1),
        number(spin.peak_slip * 100.0, 0),
    );
    if let Some(mean) = spin.mean_slip {
        text.push_str(&format!(", {} % on the mean", number(mean * 100.0, 0)));
    }
    if let Some(slid_m) = spin.slip_distance_m {
        text.push_str(&format!("; the wheels turned {} too far", units.length_text(Some(slid_m))));
    }
    if spin.kind == "tyre" {
        text.push_str(&lost_text(spin));
    }
    text
}

/// Against the quickest launch that stands and did not spin.
fn lost_text(spin: &SpinRow) -> String {
    match spin.time_lost_s {
        None => {
            "; what it cost cannot be told: no launch beside it stands without wheelspin".to_owned()
        }
        Some(lost_s) => format!(
            "; it cost {} against the quickest launch that gripped",
            seconds_text(Some(lost_s), spin.time_lost_plus_minus_s)
        ),
    }
}

/// Mean and peaks, each with its window.
fn push_text(pull: &PullRow) -> Option<String> {
    let g = |mps2: f64| number(mps2 / STANDARD_GRAVITY, 2);
    let freed = if pull.peak_accel_raw_mps2.is_some() { ", corrected for pitch" } else { "" };
    let mean = pull.mean_accel_mps2.map(|a| format!("mean {} g to the top speed", g(a)));
    let peak =
        pull.peak_accel_mps2.map(|a| format!("peak over 0.2 s {} g of the motion{freed}", g(a)));
    let window =
        pull.peak_accel_raw_window_mps2.map(|a| format!("{} g of the accelerometer, raw", g(a)));
    let single = pull.peak_accel_raw_mps2.map(|a| format!("{} g in its highest reading", g(a)));
    let told: Vec<String> = [mean, peak, window, single].into_iter().flatten().collect();
    (!told.is_empty()).then(|| format!("Acceleration: {}", told.join("; ")))
}

fn witnesses(name: &str, pull: &PullRow) -> Figure {
    let tyre = pull.spin.iter().filter(|spin| spin.kind == "tyre").map(|spin| spin.peak_slip);
    let title = match tyre.reduce(f64::max) {
        Some(slip) => format!(
            "{name}: the tyres slip by up to {} %, and the logged speed runs ahead of the car",
            number(slip * 100.0, 0)
        ),
        None if pull.verdict == "stands" => format!("{name}: the witnesses agree"),
        None if pull.witnesses.len() < 2 => format!("{name}: only one witness"),
        None => format!("{name}: what each witness says"),
    };
    let who: Vec<String> = pull.witnesses.iter().map(|w| labels::witness(w).to_owned()).collect();
    let who = if who.is_empty() { "no witness".to_owned() } else { super::listed(&who) };
    let note = format!(
        "Witnesses: {who}. The heavy line is the ground speed found from all of them. The hatched \
         corner is beyond what tyres can give."
    );
    Figure { id: ChartId::Witnesses { log: pull.log, pull: pull.number as usize - 1 }, title, note }
}

fn marks(name: &str, pull: &PullRow, units: &Units) -> Table {
    let columns = vec![
        Column::text("Mark"),
        Column::number("Over the ground"),
        Column::number("With 1 ft rollout"),
        Column::number("Logged speed alone"),
        Column::number("Speed there"),
        Column::text("Verdict"),
    ];
    let known = labels::MARKS
        .iter()
        .filter_map(|(code, _)| pull.marks.iter().find(|mark| mark.mark == *code));
    Table {
        caption: format!("The marks that {name} reached"),
        columns,
        rows: known.map(|mark| mark_row(mark, units)).collect(),
    }
}

fn mark_row(mark: &MarkRow, units: &Units) -> Row {
    let (word, tone) = labels::verdict(&mark.verdict);
    let decimals = second_decimals(mark.plus_minus_s);
    let plain =
        |s: Option<f64>, decimals| Cell::new(crate::unit::reader::with_unit(s, decimals, "s"));
    let time = Cell {
        text: seconds_text(mark.time_s, mark.plus_minus_s),
        tone: Tone::Plain,
        mark: Some((mark.mark.clone(), super::raw(mark.time_s))),
    };
    Row {
        cells: vec![
            Cell::new(labels::mark(&mark.mark)),
            time,
            plain(mark.rollout_time_s, decimals),
            plain(mark.logged_time_s, 2),
            Cell::new(units.speed_text(mark.speed_mps)),
            Cell::toned(word, tone),
        ],
        pale: mark.verdict == "void",
    }
}

fn how(sheet: &Sheet) -> Vec<How> {
    let evidence = sheet.pulls.iter().flat_map(|pull| {
        let name = labels::pull(sheet, pull);
        pull.spin.iter().flat_map(move |spin| {
            let name = name.clone();
            spin.evidence.iter().map(move |text| format!("{name}: {text}"))
        })
    });
    vec![
        How::new(
            "Every independent witness of the car's motion is laid over the others: logged speed, \
             engine speed through a locked gear, accelerometer, satellite speed, undriven \
             wheels. Where one runs ahead of what the others and the tyres allow, it is voted down, \
             and the time is taken from the rest.",
            evidence.collect(),
            "Slip as in ISO 8855 / SAE J670; change detection by CUSUM (Page 1954).",
        ),
        How::new(
            "A mark's time runs from first motion to its first upward crossing. Its ± is half of \
             the 95 % interval and holds the unseen start, the step and rate of the readings, the \
             speed's scale and the noise around the crossing. With rollout the clock starts \
             0.3048 m (1 ft) later.",
            vec![
                "A mark stands with a ± of up to 0.075 s (to 60 mph) or 2 % (longer); is in doubt \
                 up to twice that; beyond it, it is void. The limits can be set in part 7."
                    .to_owned(),
            ],
            "Combined and expanded uncertainty: JCGM 100:2008 (GUM). The limits: common practice, no source.",
        ),
        launches::how(sheet),
        super::power::how(),
    ]
}
