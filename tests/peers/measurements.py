"""MDF 4 through asammdf: groups with their own clocks, every kind of number, conversion and block.

A channel that a file gives in words is compared by its raw number, as this program has
no words among its readings. Samples that a file calls invalid are no readings.
"""

import datetime as dt

import numpy as np
from asammdf import MDF, Signal, __version__
from asammdf.blocks import v4_constants as v4

import drive
import tables
import unsorted
from found import Clock

READER = f"asammdf {__version__}"
VERSIONS = ["4.00", "4.10", "4.11", "4.20"]
MASTERS = (v4.CHANNEL_TYPE_MASTER, v4.CHANNEL_TYPE_VIRTUAL_MASTER)
WORDS = (v4.CONVERSION_TYPE_TABX, v4.CONVERSION_TYPE_RTABX)
START = dt.datetime(2024, 5, 21, 12, 0, 0, tzinfo=dt.timezone.utc)
# Bits of a number that are a channel: its kind, the first bit, how many.
WINDOWS = [
    (order + kind, at, count)
    for order in "<>"
    for kind, at, count in [
        ("u1", 0, 3), ("u1", 3, 4), ("u1", 7, 1), ("u2", 0, 12), ("u2", 4, 12), ("u2", 5, 7),
        ("u4", 1, 30), ("u4", 7, 17), ("u8", 3, 53), ("u8", 0, 40), ("i2", 0, 11), ("i4", 6, 20),
    ]
]
KINDS = ["u1", "u2", "u4", "u8", "i1", "i2", "i4", "i8", "f2", "f4", "f8"]


def write(out):
    for version in VERSIONS:
        for compression in (0, 1, 2):
            name = f"measured_{version}_{compression}.mf4".replace(".", "", 1)
            save(out, name, groups(3), version, compression)
    with MDF(out.file("measured_410_0.mf4")) as mdf:
        tables.exported(out, mdf, "exported.csv")
    for version in ("4.10", "4.20"):
        for compression in (0, 1, 2):
            name = f"split_{version}_{compression}.mf4".replace(".", "", 1)
            save(out, name, groups(2, 4000), version, compression, fragment=4096)
        for order in "<>":
            tag = {"<": "little", ">": "big"}[order]
            name = f"kinds_{tag}_{version}.mf4".replace(".", "", 1)
            save(out, name, [numbers(order)], version)
        save(out, f"conversions_{version}.mf4".replace(".", "", 1), [conversions()], version)
        save(out, f"invalid_{version}.mf4".replace(".", "", 1), [invalid()], version)
        save(out, f"words_{version}.mf4".replace(".", "", 1), [words()], version)
        save(out, f"bits_{version}.mf4".replace(".", "", 1), [bits()], version, windows=WINDOWS)
    mixed(out)


def mixed(out):
    """Records of several groups in one block, their numbers in every length."""
    rng = np.random.default_rng(870)
    kept = out.file("unmixed.mf4")
    for version in ("4.00", "4.10", "4.20"):
        for id_bytes in (1, 2, 4, 8):
            save(out, kept.name, [*groups(2), invalid()], version)
            order = np.repeat(np.arange(3), unsorted.counts(kept.read_bytes()))
            rng.shuffle(order)
            path = out.file(f"mixed_{version}_{id_bytes}.mf4".replace(".", "", 1))
            path.write_bytes(unsorted.mixed(kept.read_bytes(), id_bytes, order, id_bytes > 2))
            read(out, path)


def save(out, name, groups, version, compression=0, fragment=0, windows=()):
    path = out.file(name)
    with MDF(version=version) as mdf:
        mdf.header.start_time = START
        if fragment:
            mdf.configure(write_fragment_size=fragment)
        for group in groups:
            mdf.append(group, common_timebase=True)
        for channel, (_, at, bits) in zip(mdf.groups[0].channels[1:], windows):
            channel.bit_offset, channel.bit_count = at, bits
        mdf.save(path, overwrite=True, compression=compression)
    read(out, path)


def groups(count, rows=150):
    """Groups with a clock of their own, each beginning a little later."""
    made = []
    for at in range(count):
        time_s = 0.25 * at + drive.clock(rows, 10.0 * (at + 1), 800 + at, 0.3)
        values = drive.columns(time_s, 800 + at)
        made.append([
            Signal(each, time_s, name=f"{name} {at}", unit=unit)
            for each, (name, unit, _) in zip(values, drive.CHANNELS)
        ])
    return made


def numbers(order):
    """Every width of number, in one byte order, ends of its range included."""
    time_s = drive.clock(120, 20.0, 830)
    rng = np.random.default_rng(830)
    made = []
    for kind in KINDS:
        width = np.dtype(order + kind)
        if kind.startswith("f"):
            values = (rng.normal(size=120) * 100).astype(width)
        else:
            ends = np.iinfo(width)
            low, high = int(ends.min), int(ends.max)
            values = rng.integers(low, high, 120, dtype=width.newbyteorder("="), endpoint=True)
            values[:2] = (low, high)
            values = values.astype(width)
        made.append(Signal(values, time_s, name=f"kind {kind}", unit=""))
    return made


def bits():
    """Channels of some bits only, beginning anywhere in a byte."""
    time_s = drive.clock(100, 20.0, 835)
    rng = np.random.default_rng(835)
    made = []
    for kind, at, count in WINDOWS:
        ends = np.iinfo(np.dtype(kind).newbyteorder("="))
        values = rng.integers(ends.min, ends.max, 100, dtype=ends.dtype, endpoint=True).astype(kind)
        made.append(Signal(values, time_s, name=f"{kind} {at} {count}", unit=""))
    return made


def conversions():
    time_s = drive.clock(300, 20.0, 840)
    rng = np.random.default_rng(840)
    raw = rng.integers(0, 256, 300).astype("u1")
    wide = rng.integers(-3000, 3000, 300).astype("i2")
    real = rng.uniform(-50, 300, 300)
    real[:8] = (0.0, 50.0, 51.0, 64.0, 100.0, 150.0, 200.0, 255.0)
    raw[:8] = real[:8]
    table = {"raw_0": 0.0, "phys_0": -40.0, "raw_1": 64.0, "phys_1": 10.0,
             "raw_2": 128.0, "phys_2": 55.5, "raw_3": 255.0, "phys_3": 215.0}
    ranges = {"lower_0": 0, "upper_0": 50, "phys_0": 1.5, "lower_1": 50, "upper_1": 100,
              "phys_1": 2.5, "lower_2": 150, "upper_2": 200, "phys_2": -3.0, "default": 99.0}
    rows = [
        ("linear", raw, {"a": 0.75, "b": -40.0}),
        ("linear of two bytes", wide, {"a": 1 / 3, "b": 0.1}),
        ("linear of real", real, {"a": 1.8, "b": 32.0}),
        ("rational", raw, {"P1": 0.0, "P2": 2.0, "P3": 5.0, "P4": 0.0, "P5": 0.01, "P6": 3.0}),
        ("rational squared", wide, {"P1": 1.0, "P2": 2.0, "P3": 5.0, "P4": 0.5, "P5": 0.0, "P6": 7.0}),
        ("algebraic", wide, {"formula": "X1 * 0.25 + 3"}),
        ("algebraic roots", real, {"formula": "sqrt(abs(X1)) / 4 + log(abs(X1) + 2)"}),
        ("table between", raw, {**table, "interpolation": True}),
        ("table beyond", real, {**table, "interpolation": True}),
        ("table nearest", raw, {**table, "interpolation": False}),
        ("words and a scale", raw, {"val_0": 254, "text_0": b"error", "val_1": 255, "text_1": b"none",
                                    "default_addr": {"a": 0.5, "b": -40.0}}),
        ("ranges of words and a scale", real, {"lower_0": 200, "upper_0": 250, "text_0": b"hot",
                                               "default_addr": {"a": 2.0, "b": 1.0}}),
        ("ranges", raw, ranges),
        ("ranges of real", real, ranges),
    ]
    return [Signal(values, time_s, name=name, unit="", conversion=of) for name, values, of in rows]


def invalid():
    time_s = drive.clock(200, 20.0, 850)
    rng = np.random.default_rng(850)
    return [
        Signal(values, time_s, name=name, unit=unit, invalidation_bits=rng.uniform(size=200) < 0.2)
        for values, (name, unit, _) in zip(drive.columns(time_s, 850), drive.CHANNELS)
    ]


def words():
    """Numbers beside words: values of words, ranges of words, and texts of any length."""
    time_s = drive.clock(150, 20.0, 860)
    rng = np.random.default_rng(860)
    raw = rng.integers(0, 6, 150).astype("u1")
    gears = {f"val_{at}": at for at in range(5)} | {f"text_{at}": f"gear {at}".encode() for at in range(5)}
    levels = {"lower_0": 0, "upper_0": 2, "text_0": b"low", "lower_1": 3, "upper_1": 5, "text_1": b"high"}
    texts = np.array([b"a word " + b"longer" * int(at) for at in raw])
    return [
        Signal(raw, time_s, name="gear of words", unit="", conversion={**gears, "default_addr": b"none"}),
        Signal(raw, time_s, name="level of words", unit="", conversion={**levels, "default_addr": b"none"}),
        Signal(texts, time_s, name="texts", unit="", encoding="utf-8"),
        Signal(drive.columns(time_s, 860)[0], time_s, name="engine speed", unit="rpm"),
    ]


def read(out, path):
    with MDF(path) as mdf:
        signals = [
            (channel.name, *numeric(mdf, channel, group, at))
            for group, each in enumerate(mdf.groups)
            for at, channel in enumerate(each.channels)
            if channel.channel_type not in MASTERS
        ]
        masters = [mdf.get_master(group) for group in range(len(mdf.groups))]
        began_s = mdf.header.abs_time / 1e9
    first_s = min(float(master[0]) for master in masters if len(master))
    signals = [signal for signal in signals if signal[1] is not None]
    clock = Clock(np.concatenate([times - first_s for _, _, times, _ in signals]), began_s + first_s, True)
    columns, row = [], 0
    for name, values, times, slack in signals:
        columns.append((name, np.arange(row, row + len(times)), values, slack))
        row += len(times)
    out.keep(path, READER, clock, columns)


def numeric(mdf, channel, group, at):
    """Values, times and rounding of a channel; words as their raw numbers, texts as nothing."""
    conversion = channel.conversion
    in_words = is_in_words(conversion)
    in_ranges = conversion is not None and conversion.conversion_type == v4.CONVERSION_TYPE_RTAB
    signal = mdf.get(channel.name, group, at, raw=in_words or in_ranges)
    samples = signal.samples
    if in_ranges:
        samples = np.array([of_range(conversion, raw) for raw in samples])
    if samples.dtype.kind not in "biuf" or samples.ndim != 1:
        return None, None, 0.0
    is_worked_out = conversion is not None and not in_words and samples.dtype.kind == "f"
    slack = 4 * float(np.finfo(samples.dtype).eps) if is_worked_out else 0.0
    return samples, signal.timestamps, slack


def is_in_words(conversion):
    """Words alone, with no scale for the numbers that are none."""
    return (
        conversion is not None
        and conversion.conversion_type in WORDS
        and not hasattr(conversion.referenced_blocks["default_addr"], "conversion_type")
    )


def of_range(conversion, raw):
    """What a table of ranges says of a raw number. asammdf 8.8 itself finds a whole number
    only where it is the end of its range, so that its search is not asked."""
    for row in range((conversion.val_param_nr - 1) // 3):
        low, high = conversion[f"lower_{row}"], conversion[f"upper_{row}"]
        if low <= raw < high or raw == high and raw.dtype.kind != "f":
            return conversion[f"phys_{row}"]
    return conversion["default"]
