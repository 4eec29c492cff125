//! Malformed and hostile MDF 4 files, and what the reader says of each.
//!
//! One sound file of ten records is built block by block (layout: rows H2-15 of the
//! published block tables); every row breaks it in one place.

use std::io::Write;

use crate::refused::{Case, check, opens, refused};

/// A file under construction.
pub struct Mdf {
    pub bytes: Vec<u8>,
    data_group: usize,
    group: usize,
    time: usize,
    speed: usize,
    pub data: usize,
}

const HEADER: usize = 64;
/// Bytes of a record: a time and a speed, both `f64`.
const RECORD: u32 = 16;

impl Mdf {
    pub fn empty(version: u16) -> Self {
        let mut bytes =
            format!("MDF     {}.{:02}    test    ", version / 100, version % 100).into_bytes();
        bytes.resize(28, 0);
        bytes.extend(version.to_le_bytes());
        bytes.resize(HEADER, 0);
        let mut mdf = Mdf { bytes, data_group: 0, group: 0, time: 0, speed: 0, data: 0 };
        mdf.block(b"##HD", &[0; 6], &[0; 32]);
        mdf
    }

    /// Ten records, time 0 to 0.9 s, speed 0 to 9 km/h.
    fn sound() -> Self {
        let records: Vec<u8> = (0..10)
            .flat_map(|n| [f64::from(n) * 0.1, f64::from(n)])
            .flat_map(f64::to_le_bytes)
            .collect();
        let mut mdf = Mdf::empty(410);
        mdf.data = mdf.block(b"##DT", &[], &records);
        mdf.groups();
        mdf
    }

    /// The groups and channels, around the data made before.
    pub fn groups(&mut self) {
        let unit = self.text("km/h");
        let name = self.text("speed");
        let channel = |kind: [u8; 4], byte: u32| {
            let mut data = kind.to_vec();
            data.extend(byte.to_le_bytes());
            data.extend(64u32.to_le_bytes());
            data.resize(72, 0);
            data
        };
        self.speed = self.block(
            b"##CN",
            &[0, 0, name as u64, 0, 0, 0, unit as u64, 0],
            &channel([0, 0, 4, 0], 8),
        );
        let name = self.text("time");
        self.time = self.block(
            b"##CN",
            &[self.speed as u64, 0, name as u64, 0, 0, 0, 0, 0],
            &channel([2, 1, 4, 0], 0),
        );
        let mut group = [0u64, 10].map(u64::to_le_bytes).concat();
        group.resize(24, 0);
        group.extend(RECORD.to_le_bytes());
        group.resize(32, 0);
        self.group = self.block(b"##CG", &[0, self.time as u64, 0, 0, 0, 0], &group);
        self.data_group =
            self.block(b"##DG", &[0, self.group as u64, self.data as u64, 0], &[0; 8]);
        self.link(HEADER, 0, self.data_group as u64);
    }

    pub fn block(&mut self, id: &[u8; 4], links: &[u64], data: &[u8]) -> usize {
        self.bytes.resize(self.bytes.len().next_multiple_of(8), 0);
        let at = self.bytes.len();
        self.bytes.extend(id);
        self.bytes.extend([0; 4]);
        let length = 24 + 8 * links.len() + data.len();
        self.bytes.extend((length as u64).to_le_bytes());
        self.bytes.extend((links.len() as u64).to_le_bytes());
        self.bytes.extend(links.iter().flat_map(|link| link.to_le_bytes()));
        self.bytes.extend(data);
        at
    }

    /// The data group that the header leads to.
    pub fn first_group(&self) -> u64 {
        self.data_group as u64
    }

    /// Another data group behind the one made last.
    pub fn follow(&mut self, group: u64) {
        self.link(self.data_group, 0, group);
    }

    /// Where the records of the group made last lie, and that it holds any number of them.
    pub fn records_at(&mut self, at: usize) {
        self.link(self.data_group, 2, at as u64);
        self.put(self.group + CG_DATA + 8, &[0; 8]);
    }

    fn text(&mut self, text: &str) -> usize {
        self.block(b"##TX", &[], format!("{text}\0").as_bytes())
    }

    fn link(&mut self, block: usize, index: usize, to: u64) {
        self.put(block + 24 + 8 * index, &to.to_le_bytes());
    }

    fn put(&mut self, at: usize, bytes: &[u8]) {
        self.bytes[at..at + bytes.len()].copy_from_slice(bytes);
    }
}

/// The sound file with one thing broken.
fn broken(change: impl FnOnce(&mut Mdf)) -> Vec<u8> {
    let mut mdf = Mdf::sound();
    change(&mut mdf);
    mdf.bytes
}

/// The sound file with its records deflated, said to be of another size.
fn packed(says: u64, spoil: bool) -> Vec<u8> {
    let mut mdf = Mdf::empty(410);
    let records: Vec<u8> = (0..10)
        .flat_map(|n| [f64::from(n) * 0.1, f64::from(n)])
        .flat_map(f64::to_le_bytes)
        .collect();
    let mut writer = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::fast());
    writer.write_all(&records).unwrap();
    let mut inside = writer.finish().unwrap();
    if spoil {
        inside[10..].fill(0xff);
    }
    let mut data = b"DT\0\0\0\0\0\0".to_vec();
    data.extend(says.to_le_bytes());
    data.extend((inside.len() as u64).to_le_bytes());
    data.extend(inside);
    mdf.data = mdf.block(b"##DZ", &[], &data);
    mdf.groups();
    mdf.bytes
}

pub fn sound() -> Vec<u8> {
    Mdf::sound().bytes
}

pub fn sound_packed() -> Vec<u8> {
    packed(160, false)
}

/// Places of fields: a CG block's data lie behind six links.
const CG_DATA: usize = 24 + 6 * 8;
const CN_DATA: usize = 24 + 8 * 8;
const DG_DATA: usize = 24 + 4 * 8;

fn headers() -> Vec<Case> {
    vec![
        opens("sound", "a.mf4", Mdf::sound().bytes, &[]),
        refused(
            "too short",
            "a.mf4",
            b"MDF     4.10",
            "a.mf4, byte 12: the file ends in its first block. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "only the first 64 bytes",
            "a.mf4",
            &Mdf::sound().bytes[..64],
            "a.mf4, byte 64: a link points beyond the end of the file. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "an earlier version",
            "a.mdf",
            Mdf::empty(330).bytes,
            "a.mdf, byte 28: this is MDF version 3.30; only version 4 is read. Export the recording as MDF 4 or CSV.",
        ),
        refused(
            "a version nobody has made",
            "a.mf4",
            Mdf::empty(900).bytes,
            "a.mf4, byte 28: this is MDF version 9.00; only version 4 is read. Export the recording as MDF 4 or CSV.",
        ),
        refused(
            "no groups",
            "a.mf4",
            Mdf::empty(410).bytes,
            "a.mf4, channel groups: no group of channels with a time and a record was found. Export the recording again, with its time and its channels as numbers.",
        ),
        refused(
            "no header block",
            "a.mf4",
            broken(|m| m.put(HEADER, b"HDHD")),
            "a.mf4, byte 64: a link points to something that is no block. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "a block of absurd length",
            "a.mf4",
            broken(|m| m.put(m.data_group + 8, &u64::MAX.to_le_bytes())),
            "a.mf4, byte 872: a block claims to be longer than the file. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "a block of no length",
            "a.mf4",
            broken(|m| m.put(m.data_group + 8, &0u64.to_le_bytes())),
            "a.mf4, byte 872: a block claims to be shorter than its own header. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "a block of absurdly many links",
            "a.mf4",
            broken(|m| m.put(m.group + 16, &(u64::MAX / 8).to_le_bytes())),
            "a.mf4, byte 768: a block claims more links than it has room for. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "a link beyond the end",
            "a.mf4",
            broken(|m| m.link(HEADER, 0, 1 << 40)),
            "a.mf4, byte 1099511627776: a link points beyond the end of the file. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "a link into the middle of a block",
            "a.mf4",
            broken(|m| m.link(m.data_group, 1, m.group as u64 + 4)),
            "a.mf4, byte 772: a link points to something that is no block. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "a link to a block of another kind",
            "a.mf4",
            broken(|m| m.link(m.data_group, 1, m.time as u64)),
            "a.mf4, byte 608: a link leads to CN where CG was expected. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "data groups in a circle",
            "a.mf4",
            broken(|m| m.link(m.data_group, 0, m.data_group as u64)),
            "a.mf4, byte 872: the links of DG blocks run in a circle. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "channel groups in a circle",
            "a.mf4",
            broken(|m| m.link(m.group, 0, m.group as u64)),
            "a.mf4, byte 768: the links of CG blocks run in a circle. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "channels in a circle",
            "a.mf4",
            broken(|m| m.link(m.speed, 0, m.time as u64)),
            "a.mf4, byte 608: the links of CN blocks run in a circle. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "a channel made of itself",
            "a.mf4",
            broken(|m| m.link(m.speed, 1, m.time as u64)),
            "a.mf4, byte 608: structures of channels lie within themselves or too deep. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "a conversion that is a channel",
            "a.mf4",
            broken(|m| m.link(m.speed, 4, m.time as u64)),
            "a.mf4, byte 608: a link leads to CN where CC was expected. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "data that are a group",
            "a.mf4",
            broken(|m| m.link(m.data_group, 2, m.group as u64)),
            "a.mf4, byte 768: records are said to be in a CG block. The file is damaged or cut short: copy it again from the recorder.",
        ),
    ]
}

fn records() -> Vec<Case> {
    let cut = |by: usize| {
        let mut mdf = Mdf::empty(410);
        mdf.groups();
        let records: Vec<u8> = (0..10)
            .flat_map(|n| [f64::from(n) * 0.1, f64::from(n)])
            .flat_map(f64::to_le_bytes)
            .collect();
        let at = mdf.block(b"##DT", &[], &records) as u64;
        mdf.link(mdf.data_group, 2, at);
        mdf.bytes.truncate(mdf.bytes.len() - by);
        mdf.bytes
    };
    let circle = broken(|m| {
        let list = m.block(b"##DL", &[0, m.data as u64], &[0; 16]);
        m.link(list, 0, list as u64);
        m.link(m.data_group, 2, list as u64);
    });
    vec![
        refused(
            "no data",
            "a.mf4",
            broken(|m| m.link(m.data_group, 2, 0)),
            "a.mf4, channel groups: no group of channels with a time and a record was found. The group at byte 768 says it holds 10 records and holds 0; those were read. Export the recording again, with its time and its channels as numbers.",
        ),
        opens(
            "cut in the data",
            "a.mf4",
            cut(40),
            &[
                "The file ends inside its records, at byte 896: it was cut short. What came before was read; copy it again from the recorder for the rest.",
            ],
        ),
        refused(
            "a list in a circle",
            "a.mf4",
            circle,
            "a.mf4, byte 936: the links of DL blocks run in a circle. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "records of absurd size",
            "a.mf4",
            broken(|m| m.put(m.group + CG_DATA + 24, &u32::MAX.to_le_bytes())),
            "a.mf4, channel groups: no group of channels with a time and a record was found. The group at byte 768 says it holds 10 records and holds 0; those were read. Export the recording again, with its time and its channels as numbers.",
        ),
        refused(
            "records of no size",
            "a.mf4",
            broken(|m| m.put(m.group + CG_DATA + 24, &[0; 4])),
            "a.mf4, channel groups: no group of channels with a time and a record was found. \"time\" lies outside its records and was left out. Export the recording again, with its time and its channels as numbers.",
        ),
        opens(
            "an absurd count of records",
            "a.mf4",
            broken(|m| m.put(m.group + CG_DATA + 8, &u64::MAX.to_le_bytes())),
            &[
                "The group at byte 768 says it holds 18446744073709551615 records and holds 10; those were read.",
            ],
        ),
        refused(
            "record numbers of three bytes",
            "a.mf4",
            broken(|m| m.put(m.data_group + DG_DATA, &[3])),
            "a.mf4, byte 872: record numbers are said to be 3 bytes long. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "record numbers of no group",
            "a.mf4",
            broken(|m| {
                m.put(m.data_group + DG_DATA, &[1]);
                let second = m.block(b"##CG", &[0; 6], &[0; 32]);
                m.link(m.group, 0, second as u64);
            }),
            "a.mf4, byte 872: a record is numbered 154, which no group has. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "a channel outside its record",
            "a.mf4",
            broken(|m| m.put(m.speed + CN_DATA + 4, &u32::MAX.to_le_bytes())),
            "a.mf4, channels: no channel beside the time holds a number that can be read. \"speed\" lies outside its records and was left out. Export the recording again, with its time and its channels as numbers.",
        ),
        refused(
            "a channel of absurdly many bits",
            "a.mf4",
            broken(|m| m.put(m.speed + CN_DATA + 8, &u32::MAX.to_le_bytes())),
            "a.mf4, channels: no channel beside the time holds a number that can be read. \"speed\" lies outside its records and was left out. Export the recording again, with its time and its channels as numbers.",
        ),
        refused(
            "a time of NaN",
            "a.mf4",
            broken(|m| {
                for n in 0..10 {
                    m.put(m.data + 24 + 16 * n, &f64::NAN.to_le_bytes());
                }
            }),
            "a.mf4, channel groups: no group of channels with a time and a record was found. Export the recording again, with its time and its channels as numbers.",
        ),
        opens("packed", "a.mf4", packed(160, false), &[]),
        refused(
            "packed, said to be larger",
            "a.mf4",
            packed(1000, false),
            "a.mf4, byte 168: a compressed block does not hold as many bytes as it says. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "packed, said to be smaller",
            "a.mf4",
            packed(16, false),
            "a.mf4, byte 168: a compressed block does not hold as many bytes as it says. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "packed, of absurd size",
            "a.mf4",
            packed(u64::MAX, false),
            "a.mf4, byte 168: there are more than 1024 MB of records. Export fewer channels, or a shorter stretch, as MDF 4 or CSV.",
        ),
        refused(
            "packed and damaged",
            "a.mf4",
            packed(160, true),
            "a.mf4, byte 168: a compressed block is damaged. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "packed by another method",
            "a.mf4",
            {
                let mut bytes = packed(160, false);
                let at = bytes.windows(4).position(|four| four == b"##DZ").unwrap();
                bytes[at + 24 + 2] = 7;
                bytes
            },
            "a.mf4, byte 168: records are packed by a method other than deflate. The file is damaged or cut short: copy it again from the recorder.",
        ),
    ]
}

/// Small files that would cost minutes or gigabytes if they were taken at their word.
fn bombs() -> Vec<Case> {
    let structures = broken(|m| {
        let name = m.text("part");
        let first = m.bytes.len().next_multiple_of(8) as u64;
        for n in 0..2000u64 {
            // A block of this shape takes 160 bytes.
            let next = if n < 1999 { first + (n + 1) * 160 } else { 0 };
            m.block(b"##CN", &[next, first, name as u64, 0, 0, 0, 0, 0], &[0; 72]);
        }
        m.link(m.speed, 1, first);
    });
    let repeated = broken(|m| {
        let zeros = m.block(b"##DT", &[], &[0; 1 << 20]) as u64;
        let links: Vec<u64> =
            std::iter::once(0).chain(std::iter::repeat_n(zeros, 20_000)).collect();
        let list = m.block(b"##DL", &links, &[0; 16]) as u64;
        m.link(m.data_group, 2, list);
    });
    let groups = broken(|m| {
        let zeros = m.block(b"##DT", &[], &[0; 1 << 20]) as u64;
        let mut next = 0;
        for _ in 0..30_000 {
            next = m.block(b"##DG", &[next, m.group as u64, zeros, 0], &[0; 8]) as u64;
        }
        m.link(m.data_group, 0, next);
    });
    let channels = broken(|m| {
        let zeros = m.block(b"##DT", &[], &[0; 8 << 20]) as u64;
        m.link(m.data_group, 2, zeros);
        m.put(m.group + CG_DATA + 8, &[0; 8]);
        let mut next = 0;
        for _ in 0..5_000 {
            let mut data = [0u8, 0, 4, 0, 8, 0, 0, 0, 64].to_vec();
            data.resize(72, 0);
            next = m.block(b"##CN", &[next, 0, 0, 0, 0, 0, 0, 0], &data) as u64;
        }
        m.link(m.speed, 0, next);
    });
    vec![
        refused(
            "structures within structures",
            "a.mf4",
            structures,
            "a.mf4, byte 968: structures of channels lie within themselves or too deep. The file is damaged or cut short: copy it again from the recorder.",
        ),
        refused(
            "a list of one block over and over",
            "a.mf4",
            repeated,
            "a.mf4, byte 936: there are more than 1024 MB of records. Export fewer channels, or a shorter stretch, as MDF 4 or CSV.",
        ),
        refused(
            "groups over the same data",
            "a.mf4",
            groups,
            "a.mf4, byte 936: there are more than 1024 MB of records. Export fewer channels, or a shorter stretch, as MDF 4 or CSV.",
        ),
        refused(
            "channels over the same data",
            "a.mf4",
            channels,
            "a.mf4, byte 608: there are more than 67 million readings. Export fewer channels, or a shorter stretch, as MDF 4 or CSV.",
        ),
    ]
}

#[test]
fn a_broken_header_says_where_and_what_to_do() {
    let wrong = check(&headers());
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn broken_records_say_where_and_what_to_do() {
    let wrong = check(&records());
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn a_small_file_cannot_ask_for_hours_or_gigabytes() {
    let wrong = check(&bombs());
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}
