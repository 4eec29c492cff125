//! MDF 4 with a damaged block in its list: what is whole is read at its own time, the
//! rest is said to be lost. Ten records of `Mdf::groups`, in three deflated blocks.

use std::io::Write;

use pullmark::log::read;

use crate::refused_mdf4::Mdf;

/// Records of each block.
const BLOCKS: [std::ops::Range<u32>; 3] = [0..4, 4..7, 7..10];
const RECORD_BYTES: u64 = 16;

/// The file with one block damaged; its list says where each begins, or does not.
fn damaged(block: usize, list_tells: bool) -> Vec<u8> {
    let mut mdf = Mdf::empty(410);
    let mut links = vec![0];
    for (at, records) in BLOCKS.into_iter().enumerate() {
        let mut data = deflated(records);
        if at == block {
            let middle = 24 + (data.len() - 24) / 2;
            data[middle] ^= 0x5a;
        }
        links.push(mdf.block(b"##DZ", &[], &data) as u64);
    }
    let mut says = vec![0u8, 0, 0, 0, 3, 0, 0, 0];
    let begins = BLOCKS.map(|records| u64::from(records.start) * RECORD_BYTES);
    let begins = if list_tells { begins } else { [0; 3] };
    says.extend(begins.iter().flat_map(|begin| begin.to_le_bytes()));
    mdf.data = mdf.block(b"##DL", &links, &says);
    mdf.groups();
    mdf.bytes
}

/// Numbers as little-endian bytes, deflated in a block of their own.
fn deflated(records: std::ops::Range<u32>) -> Vec<u8> {
    let bytes: Vec<u8> = records
        .flat_map(|n| [f64::from(n) * 0.1, f64::from(n)])
        .flat_map(f64::to_le_bytes)
        .collect();
    let mut writer = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::fast());
    writer.write_all(&bytes).unwrap();
    let packed = writer.finish().unwrap();
    let mut data = b"DT\0\0\0\0\0\0".to_vec();
    data.extend((bytes.len() as u64).to_le_bytes());
    data.extend((packed.len() as u64).to_le_bytes());
    data.extend(packed);
    data
}

/// Ten records and half of one behind a block that is said to be empty, with nothing
/// counted: what a logger leaves whose power went.
#[test]
fn an_unfinished_file_gives_the_records_behind_its_last_block() {
    let mut mdf = Mdf::empty(410);
    mdf.groups();
    let empty = mdf.block(b"##DT", &[], &[]);
    mdf.records_at(empty);
    let numbers = (0..10).flat_map(|n| [f64::from(n) * 0.1, f64::from(n)]).chain([1.0]);
    mdf.bytes.extend(numbers.flat_map(f64::to_le_bytes));
    mdf.bytes[..8].copy_from_slice(b"UnFinMF ");
    let log = read("a.mf4", &mdf.bytes).unwrap();
    let whole: Vec<f64> = log.channels[0].series.value.iter().map(|v| (v * 3.6).round()).collect();
    assert_eq!(whole, (0..10).map(f64::from).collect::<Vec<_>>());
    assert_eq!(
        log.problems[0].text,
        "The file was never finished by its recorder; what it holds was read."
    );
    // Of a finished file an empty block is empty.
    mdf.bytes[..8].copy_from_slice(b"MDF     ");
    assert!(read("a.mf4", &mdf.bytes).is_err());
}

#[test]
fn a_group_whose_only_block_is_damaged_takes_no_other_with_it() {
    let mut spoiled = deflated(0..10);
    let middle = 24 + (spoiled.len() - 24) / 2;
    spoiled[middle] ^= 0x5a;
    let mut mdf = Mdf::empty(410);
    mdf.data = mdf.block(b"##DZ", &[], &spoiled);
    let at = mdf.data;
    mdf.groups();
    let damaged_group = mdf.first_group();
    mdf.data = mdf.block(b"##DZ", &[], &deflated(0..10));
    mdf.groups();
    mdf.follow(damaged_group);
    let log = read("a.mf4", &mdf.bytes).unwrap();
    let whole: Vec<f64> = log.channels[0].series.value.iter().map(|v| (v * 3.6).round()).collect();
    assert_eq!(whole, (0..10).map(f64::from).collect::<Vec<_>>());
    assert_eq!(
        log.problems[0].text,
        format!(
            "At byte {at} a compressed block is damaged: all 10 records of its group (\"time\", \
             \"speed\") are lost; the other groups were read. Copy the file again from the recorder."
        )
    );
}

/// Four thousand records; the file ends within their block.
#[test]
fn a_file_cut_within_its_only_block_is_read_up_to_there() {
    let mut mdf = Mdf::empty(410);
    mdf.groups();
    let at = mdf.block(b"##DZ", &[], &deflated(0..4000));
    mdf.records_at(at);
    let end = at + (mdf.bytes.len() - at) / 2;
    let log = read("a.mf4", &mdf.bytes[..end]).unwrap();
    let speed = &log.channels[0].series;
    assert!(speed.len() >= 10, "{}", speed.len());
    for (n, (t, v)) in speed.time_s.iter().zip(&speed.value).enumerate() {
        let n = n as f64;
        assert!((t - n * 0.1).abs() < 1e-9 && (v * 3.6 - n).abs() < 1e-9, "{t} s: {v}");
    }
    let said = format!("The file ends inside its records, at byte {end}: it was cut short.");
    assert!(
        log.problems.iter().any(|problem| problem.text.starts_with(&said)),
        "{:?}",
        log.problems
    );
}

/// Values by their record, and the first problem.
fn read_back(bytes: &[u8]) -> (Vec<f64>, String) {
    let log = read("a.mf4", bytes).unwrap();
    let speed = &log.channels[0];
    let value = speed.series.value.iter().map(|v| (v * 3.6).round()).collect();
    // The first reading kept is the log's beginning.
    let begin = speed.series.value.first().map_or(0.0, |v| v * 3.6 * 0.1);
    for (t, v) in speed.series.time_s.iter().zip(&speed.series.value) {
        assert!((t + begin - v * 3.6 * 0.1).abs() < 1e-9, "{t} s for {v}");
    }
    (value, log.problems[0].text.clone())
}

#[test]
fn records_of_a_damaged_block_are_lost_and_the_others_keep_their_times() {
    let (value, said) = read_back(&damaged(1, true));
    assert_eq!(value, [0.0, 1.0, 2.0, 3.0, 7.0, 8.0, 9.0]);
    let lost = ": 3 records of its group, from record 5 on, are lost; the others were read.";
    assert!(said.contains(lost), "{said}");

    let (value, said) = read_back(&damaged(0, true));
    assert_eq!(value, [4.0, 5.0, 6.0, 7.0, 8.0, 9.0]);
    assert!(said.contains("4 records of its group, from record 1 on"), "{said}");
}

#[test]
fn where_the_list_does_not_tell_the_data_ends_before_the_damage() {
    for (block, list_tells) in [(1, false), (2, true)] {
        let (value, said) = read_back(&damaged(block, list_tells));
        let whole: Vec<f64> = (0..BLOCKS[block].start).map(f64::from).collect();
        assert_eq!(value, whole);
        assert!(said.contains("what came before it was read, the rest"), "{said}");
    }
}

/// The fourth to sixth of ten records were never written.
#[test]
fn records_of_zeros_amidst_others_are_no_readings() {
    let mut mdf = Mdf::empty(410);
    let numbers = (0..10).map(f64::from).flat_map(|n| match n {
        3.0..=5.0 => [0.0, 0.0],
        n => [n * 0.1, n],
    });
    let bytes: Vec<u8> = numbers.flat_map(f64::to_le_bytes).collect();
    mdf.data = mdf.block(b"##DT", &[], &bytes);
    mdf.groups();
    let (value, said) = read_back(&mdf.bytes);
    assert_eq!(value, [0.0, 1.0, 2.0, 6.0, 7.0, 8.0, 9.0]);
    assert_eq!(
        said,
        "3 records of a group, the first being record 4, are zeros alone, their time included: the \
         recorder wrote nothing there, and they were left out."
    );
}
