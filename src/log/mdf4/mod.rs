//! ASAM MDF 4: measurement files with several groups, each with its own clock.
//!
//! In: bytes. Out: a [`Log`], or an error with the byte where reading ended.
//! Versions 4.00 to 4.20, sorted and unsorted groups, lists, deflated and
//! transposed data, numeric channels in both byte orders, conversions, invalid
//! samples. A group without a time is left out and said. Written by hand because
//! the registry's readers want a file on disk and trust the links in it.

mod block;
mod convert;
mod data;
mod formula;
mod groups;
mod record;
mod sorted;

use std::collections::BTreeSet;
use std::ops::Range;

use self::block::{Block, Checked, Fault, chain, expect, text};
use self::convert::Conversion;
use self::data::{Gathered, Gatherer};
use self::groups::{Group, Written};
use self::record::{Field, Kind, Records};
use self::sorted::{Held, Source, lost_records, sort};
use super::assemble::{self, Parts};
use super::fresh::{self, Repeated};
use super::limits::{COLUMNS_LIMIT, NESTED_LIMIT, READINGS_LIMIT};
use super::names::Words;
use super::raw::Raw;
use super::timeline::{self, Places};
use super::{Form, Log, LogError, Problem, Series, units};

pub fn is_mdf(bytes: &[u8]) -> bool {
    bytes.starts_with(b"MDF     ") || bytes.starts_with(b"UnFinMF ")
}

pub fn read(file: &str, bytes: &[u8], repeated: Repeated) -> Result<Log, LogError> {
    /// The identification block: the form, the version, who wrote it.
    const FIRST_BLOCK: usize = 64;
    if bytes.len() < FIRST_BLOCK {
        let fault = Fault::new(bytes.len() as u64, "the file ends in its first block");
        return Err(damaged(file, &fault));
    }
    let version = bytes.get(28..30).map_or(0, |two| u16::from_le_bytes([two[0], two[1]]));
    if !(400..500).contains(&version) {
        let what = format!(
            "this is MDF version {:.2}; only version 4 is read.",
            f64::from(version) / 100.0
        );
        return Err(LogError::at(file, "byte 28", what, "Export the recording as MDF 4 or CSV."));
    }
    let mut reader = Reader::new(bytes);
    if bytes.starts_with(b"UnFin") {
        let text =
            "The file was never finished by its recorder; what it holds was read.".to_owned();
        reader.problems.push(Problem { code: "unfinished", text });
    }
    let began = reader.walk().map_err(|fault| damaged(file, &fault))?;
    if let Some(at) = reader.gatherer.cut {
        let text = format!(
            "The file ends inside its records, at byte {at}: it was cut short. What came before was \
             read; copy it again from the recorder for the rest."
        );
        reader.problems.push(Problem { code: "cut_short", text });
    }
    let fault = reader.damage.take();
    // Where nothing else is left, the damage is why.
    reader.log(file, began, version, repeated).map_err(|error| match fault {
        Some(fault) => damaged(file, &fault),
        None => error,
    })
}

fn damaged(file: &str, fault: &Fault) -> LogError {
    LogError::at(
        file,
        format!("byte {}", fault.at),
        format!("{}.", fault.what),
        match fault.too_much {
            true => "Export fewer channels, or a shorter stretch, as MDF 4 or CSV.",
            false => "The file is damaged or cut short: copy it again from the recorder.",
        },
    )
}

struct Reader<'a> {
    bytes: &'a [u8],
    gatherer: Gatherer<'a>,
    problems: Vec<Problem>,
    groups: Vec<Group>,
    /// Channels met so far, and their readings: a small file may name them endlessly.
    channels: usize,
    readings: usize,
    /// The first group of which nothing could be read.
    damage: Option<Fault>,
}

impl<'a> Reader<'a> {
    fn new(bytes: &'a [u8]) -> Self {
        let gatherer = Gatherer::new(bytes);
        Reader {
            bytes,
            gatherer,
            problems: Vec::new(),
            groups: Vec::new(),
            channels: 0,
            readings: 0,
            damage: None,
        }
    }

    /// Reads all groups. Out: Unix seconds of the start, where the file tells them.
    fn walk(&mut self) -> Checked<Option<f64>> {
        let missing = Fault::new(64, "the header block is missing");
        let header = expect(self.bytes, 64, b"##HD")?.ok_or(missing)?;
        for data_group in chain(self.bytes, header.link(0), b"##DG")? {
            self.data_group(&data_group)?;
        }
        let start_ns = header.u64(0);
        Ok((start_ns > 0).then_some(start_ns as f64 * 1e-9))
    }

    fn data_group(&mut self, data_group: &Block<'a>) -> Checked<()> {
        let id_bytes = usize::from(data_group.u8(0));
        if !matches!(id_bytes, 0 | 1 | 2 | 4 | 8) {
            let what = format!("record numbers are said to be {id_bytes} bytes long");
            return Err(Fault::new(data_group.at, what));
        }
        let sources: Vec<Source> =
            chain(self.bytes, data_group.link(1), b"##CG")?.into_iter().map(Source::of).collect();
        let mut data = self.gatherer.gather(data_group.link(2))?;
        if let Some(fault) = data.damage.take() {
            self.damaged_block(&fault, &data, id_bytes, &sources);
            if data.bytes.is_empty() {
                self.damage.get_or_insert(fault);
                return Ok(());
            }
        }
        if let [source] = sources.as_slice()
            && let Some(stride) = source.stride
        {
            let stride = id_bytes + stride;
            let lost = lost_records(&data.lost, stride);
            self.group(source, Held { bytes: &data.bytes, stride, skip: id_bytes, lost: &lost })?;
            return Ok(());
        }
        // Mixed records are found one behind the other: behind a lost one there is no way on.
        let whole = data.lost.first().map_or(data.bytes.len(), |lost| lost.start);
        let sorted = sort(&data.bytes[..whole], &sources, id_bytes, data_group.at)?;
        for source in &sources {
            if let (Some(stride), Some(bytes)) = (source.stride, sorted.get(&source.record_id)) {
                self.group(source, Held { bytes, stride, skip: 0, lost: &[] })?;
            }
        }
        Ok(())
    }

    /// Says what is lost with a block that cannot be read.
    fn damaged_block(
        &mut self,
        fault: &Fault,
        data: &Gathered,
        id_bytes: usize,
        sources: &[Source],
    ) {
        let stride = match sources {
            [source] => source.stride.map(|stride| stride + id_bytes),
            _ => None,
        };
        let lost = match (stride, data.lost.is_empty()) {
            (Some(stride), false) => {
                let lost = lost_records(&data.lost, stride);
                let (count, first) =
                    (lost.iter().map(Range::len).sum::<usize>(), lost[0].start + 1);
                format!(
                    "{count} records of its group, from record {first} on, are lost; the others were read"
                )
            }
            _ if data.bytes.is_empty() => self.all_lost(sources),
            _ => "what came before it was read, the rest of its group is lost".to_owned(),
        };
        let text = format!(
            "At byte {} {}: {lost}. Copy the file again from the recorder.",
            fault.at, fault.what
        );
        self.problems.push(Problem { code: "block_damaged", text });
    }

    /// Which records are lost with their only block: how many, and of which channels.
    fn all_lost(&self, sources: &[Source]) -> String {
        const SHOWN: usize = 4;
        let channels = |source: &Source| chain(self.bytes, source.block.link(1), b"##CN");
        let names: Vec<String> = sources
            .iter()
            .flat_map(|source| channels(source).unwrap_or_default())
            .map(|channel| format!("\"{}\"", text(self.bytes, channel.link(2))))
            .collect();
        let count: u64 =
            sources.iter().fold(0, |all, source| all.saturating_add(source.block.u64(8)));
        let more = match names.len().saturating_sub(SHOWN) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        let shown = names[..names.len().min(SHOWN)].join(", ");
        format!(
            "all {count} records of its group ({shown}{more}) are lost; the other groups were read"
        )
    }

    /// Reads one group from its records.
    fn group(&mut self, source: &Source, data: Held) -> Checked<()> {
        let Held { bytes, stride, skip, lost } = data;
        let held = bytes.len() / stride.max(1);
        let said = usize::try_from(source.block.u64(8)).unwrap_or(usize::MAX);
        let count = if said == 0 { held } else { held.min(said) };
        if said > held && self.gatherer.cut.is_none() {
            let text = format!(
                "The group at byte {} says it holds {said} records and holds {held}; those were read.",
                source.block.at
            );
            self.problems.push(Problem { code: "cut_short", text });
        }
        let bytes = bytes.get(skip..).unwrap_or_default();
        // The first record's id is skipped by the slice, the others' lie behind each record.
        let records = Records { bytes, stride, data_bytes: source.data_bytes, count, lost };
        let mut padded = Vec::new();
        let records = if skip > 0 { records.padded(&mut padded, skip) } else { records };
        let name = text(self.bytes, source.block.link(2));
        let mut group = Group { name, time: Vec::new(), channels: Vec::new() };
        self.channels(source.block.link(1), &records, &mut group, &mut BTreeSet::new())?;
        if group.time.is_empty() {
            if count > 0 && !group.channels.is_empty() {
                let text = format!(
                    "The group at byte {} has no time; its {} channels were left out.",
                    source.block.at,
                    group.channels.len()
                );
                self.problems.push(Problem { code: "no_time", text });
            }
            return Ok(());
        }
        self.groups.push(group);
        Ok(())
    }

    fn channels(
        &mut self,
        first: u64,
        records: &Records,
        group: &mut Group,
        within: &mut BTreeSet<u64>,
    ) -> Checked<()> {
        if !within.insert(first) || within.len() > NESTED_LIMIT {
            let what = "structures of channels lie within themselves or too deep".to_owned();
            return Err(Fault::new(first, what));
        }
        let channels = chain(self.bytes, first, b"##CN")?;
        self.count(first, channels.len(), records.count)?;
        for channel in channels {
            let parts = channel.link(1);
            if expect(self.bytes, parts, b"##CN").is_ok_and(|part| part.is_some()) {
                self.channels(parts, records, group, within)?;
                continue;
            }
            self.channel(&channel, records, group)?;
        }
        within.remove(&first);
        Ok(())
    }

    /// Some more channels, if there is room.
    fn count(&mut self, first: u64, channels: usize, records: usize) -> Checked<()> {
        self.channels += channels;
        self.readings = self.readings.saturating_add(channels.saturating_mul(records));
        let what = if self.channels > COLUMNS_LIMIT {
            format!("there are more than {COLUMNS_LIMIT} channels")
        } else if self.readings > READINGS_LIMIT {
            format!("there are more than {} million readings", READINGS_LIMIT / 1_000_000)
        } else {
            return Ok(());
        };
        Err(Fault::too_much(first, what))
    }

    fn channel(&mut self, channel: &Block, records: &Records, group: &mut Group) -> Checked<()> {
        let (kind, sync) = (channel.u8(0), channel.u8(1));
        let name = text(self.bytes, channel.link(2));
        let Some(field) = field(channel) else { return Ok(()) };
        if channel.u32(12) & 1 != 0 {
            return Ok(());
        }
        if !field.fits(records.data_bytes) {
            let text = format!("\"{name}\" lies outside its records and was left out.");
            self.problems.push(Problem { code: "channel_unread", text });
            return Ok(());
        }
        let conversion = convert::read(self.bytes, channel.link(4), field.kind == Kind::Float)?;
        if let Conversion::Unknown(number) = conversion {
            let text = format!(
                "\"{name}\" has a conversion of kind {number}, which is not read; it was left out."
            );
            self.problems.push(Problem { code: "channel_unread", text });
            return Ok(());
        }
        let raw = record::raw(records, &field);
        let value = raw.into_iter().map(|raw| conversion.value(raw).unwrap_or(f64::NAN)).collect();
        let written = self.unit_texts(channel);
        let unit = written.iter().find_map(|text| units::spelled(text));
        if matches!(kind, 2 | 3) {
            if sync == 1 {
                let (time, said) = record::clock(records, value, unit);
                self.problems.extend(said);
                group.time = time;
            }
            return Ok(());
        }
        let unknown = written.iter().find_map(|text| units::unknown(text)).map(str::to_owned);
        let unknown_unit = unknown.filter(|_| unit.is_none());
        let in_name = || units::in_name(&Words::of(&name));
        let unit = unit.or_else(|| unknown_unit.is_none().then(in_name).flatten());
        group.channels.push(Written { name, unit, unknown_unit, value });
        Ok(())
    }

    /// What stands in the place of the unit, in the channel and in its conversion.
    fn unit_texts(&self, channel: &Block) -> [String; 2] {
        let conversion = expect(self.bytes, channel.link(4), b"##CC").ok().flatten();
        let of_conversion = conversion.map(|block| text(self.bytes, block.link(1)));
        [text(self.bytes, channel.link(6)), of_conversion.unwrap_or_default()]
    }

    /// Nothing to show, with the first that was odd: it is most likely why.
    fn nothing(&self, file: &str, place: &str, what: &str) -> LogError {
        let why = self.problems.first().map_or("", |problem| problem.text.as_str());
        let remedy = "Export the recording again, with its time and its channels as numbers.";
        LogError::at(file, place, format!("{what} {why}").trim_end(), remedy)
    }

    fn log(
        mut self,
        file: &str,
        began: Option<f64>,
        version: u16,
        repeated: Repeated,
    ) -> Result<Log, LogError> {
        let first = |group: &Group| {
            group.time.iter().copied().filter(|t| t.is_finite()).fold(f64::MAX, f64::min)
        };
        let first_s = self.groups.iter().map(first).fold(f64::MAX, f64::min);
        if self.groups.is_empty() || first_s == f64::MAX {
            let what = "no group of channels with a time and a record was found.";
            return Err(self.nothing(file, "channel groups", what));
        }
        groups::join(&mut self.groups);
        groups::name(&mut self.groups);
        let names: Vec<String> = self
            .groups
            .iter()
            .flat_map(|group| group.channels.iter().map(|channel| channel.name.clone()))
            .collect();
        let count = self.groups.len();
        let rows = self.groups.iter().map(|group| group.time.len() as u64).sum();
        let mut raws = Vec::new();
        let mut last_s: f64 = 0.0;
        for group in std::mem::take(&mut self.groups) {
            if let Some(series) = channels_of(group, first_s, repeated, &mut self.problems) {
                let end = |raw: &Raw| raw.series.time_s.last().copied().unwrap_or(0.0);
                last_s = series.iter().map(end).fold(last_s, f64::max);
                raws.extend(series);
            }
        }
        if raws.is_empty() {
            let what = "no channel beside the time holds a number that can be read.";
            return Err(self.nothing(file, "channels", what));
        }
        Ok(assemble::log(Parts {
            file,
            form: Form::Mdf4,
            raws,
            span_s: last_s,
            rows,
            began_unix_s: began.map(|began| began + first_s),
            clock_began_s: None,
            header_key: super::header_key(names.iter().map(String::as_str)),
            form_found: format!(
                "MDF {:.2}, {count} groups of channels",
                f64::from(version) / 100.0
            ),
            problems: self.problems,
        }))
    }
}

impl Records<'_> {
    /// The same records with room behind the last, whose id is not followed by another.
    fn padded<'b>(&'b self, room: &'b mut Vec<u8>, skip: usize) -> Records<'b> {
        room.extend_from_slice(self.bytes);
        room.resize(self.bytes.len() + skip, 0);
        Records { bytes: room, ..*self }
    }
}

/// Where a numeric channel lies; `None` for text, arrays of bytes and the like.
fn field(channel: &Block) -> Option<Field> {
    let data_type = channel.u8(2);
    let kind = match (channel.u8(0), data_type) {
        (3 | 6, _) => Kind::Index,
        (0 | 2, 0 | 1) => Kind::Unsigned,
        (0 | 2, 2 | 3) => Kind::Signed,
        (0 | 2, 4 | 5) => Kind::Float,
        _ => return None,
    };
    let invalid_bit = (channel.u32(12) & 2 != 0).then(|| channel.u32(16) as usize);
    Some(Field {
        kind,
        big_endian: data_type % 2 == 1,
        bit: u32::from(channel.u8(3)),
        byte: channel.u32(4) as usize,
        bits: channel.u32(8),
        invalid_bit,
    })
}

/// The channels of a group with repaired times, counted from the log's first record.
fn channels_of(
    group: Group,
    first_s: f64,
    repeated: Repeated,
    problems: &mut Vec<Problem>,
) -> Option<Vec<Raw>> {
    let records = group.time.len();
    let numbers: Vec<u32> = (1..=records as u32).collect();
    let places = Places { word: "record", at: &numbers };
    let timeline = timeline::repair(group.time, places, false)?;
    problems.extend(timeline.problems.iter().cloned());
    let shift = timeline.first_s - first_s;
    let order = |place: usize| timeline.order.as_ref().map_or(place, |order| order[place]);
    let columns: Vec<(Vec<f64>, Vec<u32>)> = group
        .channels
        .iter()
        .map(|channel| {
            (0..records)
                .map(|place| {
                    (channel.value.get(order(place)).copied().unwrap_or(f64::NAN), place as u32)
                })
                .filter(|(value, place)| {
                    value.is_finite() && timeline.time_s[*place as usize].is_finite()
                })
                .unzip()
        })
        .collect();
    let held: Vec<fresh::Held> =
        columns.iter().map(|(value, record)| fresh::Held { value, record: Some(record) }).collect();
    let kept = repeated.keep(&held, records);
    let raws = group
        .channels
        .iter()
        .zip(&columns)
        .zip(kept)
        .filter(|((_, column), _)| !column.0.is_empty());
    Some(
        raws.map(|((channel, (value, record)), kept)| {
            let all = || (0..value.len()).collect();
            let index: Vec<usize> = kept.as_ref().map_or_else(all, |kept| kept.index.clone());
            let (mut time_s, mut fresh) =
                (Vec::with_capacity(index.len()), Vec::with_capacity(index.len()));
            for at in index {
                let t = timeline.time_s[record[at] as usize] + shift;
                if time_s.last().is_none_or(|last| t > *last) {
                    time_s.push(t);
                    fresh.push(value[at]);
                }
            }
            let mut raw = Raw::new(
                &channel.name,
                channel.unit,
                Series { time_s: time_s.into(), value: fresh },
            );
            raw.unknown_unit = channel.unknown_unit.clone();
            raw.fresh = kept.map_or_else(String::new, |kept| kept.how);
            raw
        })
        .collect(),
    )
}
