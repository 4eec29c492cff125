"""Tables through pandas: written in every way `to_csv` has, and read back by `read_csv`.

Every file is read with the options it was written with, so that pandas is told what
this program has to find out by itself.
"""

import csv
import itertools

import numpy as np
import pandas as pd

import drive
from found import Clock, bare

READER = f"pandas {pd.__version__}"

SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}
DECIMALS = {"point": ".", "comma": ","}
QUOTING = {"few": csv.QUOTE_MINIMAL, "all": csv.QUOTE_ALL, "words": csv.QUOTE_NONNUMERIC}
LINE_ENDS = {"lf": "\n", "crlf": "\r\n"}
ENCODINGS = ["utf-8", "utf-8-sig", "utf-16", "latin-1"]


def write(out):
    every_way(out)
    encodings(out)
    packed(out)
    blanks(out)
    numbers(out)
    layouts(out)
    long_ones(out)
    odd_names(out)
    one_by_one(out)


def opened():
    """How the tables among the open recordings tell the time, by their README."""
    return {
        "nds_drive06.csv": dict(time="time_utc", clock=instants),
        "nds_drive25.csv": dict(time="time_utc", clock=instants),
        "gps_1hz_4115985_1_2007-04-23.csv": dict(clock=instants),
        "wheelspeed_imu_15s.csv": {},
        "obd_city_drive_20min.csv": dict(clock=durations),
    }


def read(out, path, time=None, clock=Clock.of_seconds, **options):
    """Reads a table back; its clock is the first column unless said otherwise."""
    options = {"float_precision": "round_trip", "encoding": "utf-8", **options}
    table = pd.read_csv(path, **options)
    table.columns = [str(name) for name in table.columns]
    time = time or table.columns[0]
    rows = np.arange(len(table))
    columns = [
        (bare(name), rows, table[name], 0.0)
        for name in table.columns
        if name != time and is_number(table[name])
    ]
    out.keep(path, READER, clock(table[time]), columns)


def is_number(column):
    return pd.api.types.is_numeric_dtype(column) and not column.isna().all()


def parts(per_second):
    """A clock of whole parts of a second."""
    return lambda column: Clock.of_seconds(column / per_second)


def since_1970(per_second):
    """A clock of seconds, or whole parts of them, from 1970."""
    ns = 10**9 // per_second
    whole = lambda column: pd.api.types.is_integer_dtype(column)
    scaled = lambda column: column * ns if whole(column) else np.round(column * 1e6) * 1000
    return lambda column: Clock.of_instants(scaled(column).astype(np.int64))


def instants(column, **options):
    """A clock of dates with times of day; what names no zone is UTC."""
    options = options or {"format": "ISO8601"}
    stamps = pd.to_datetime(column, utc=True, **options)
    return Clock.of_instants(stamps.dt.as_unit("ns").astype(np.int64))


def instants_as(format):
    return lambda column: instants(column, format=format)


def durations(column):
    """A clock of hours, minutes and seconds."""
    return Clock.of_seconds(pd.to_timedelta(column).dt.total_seconds())


def both(out, name, table, index=False, reading=None, **options):
    """Writes a table and reads it back with the same options."""
    path = out.file(name)
    table.to_csv(path, index=index, **options)
    shared = ("sep", "decimal", "quoting", "encoding", "quotechar", "escapechar", "doublequote")
    same = {key: value for key, value in options.items() if key in shared}
    # Numbers in quotation marks are numbers all the same.
    same.pop("quoting", None)
    read(out, path, **{**same, **(reading or {})})


def every_way(out):
    """Separator, decimal sign, quotation marks and line ends, each with each."""
    ways = itertools.product(SEPARATORS, DECIMALS, QUOTING, LINE_ENDS)
    for seed, (separator, decimal, quoting, end) in enumerate(ways):
        options = dict(
            sep=SEPARATORS[separator],
            decimal=DECIMALS[decimal],
            quoting=QUOTING[quoting],
            lineterminator=LINE_ENDS[end],
            encoding="utf-8",
        )
        name = f"way_{separator}_{decimal}_{quoting}_{end}.csv"
        both(out, name, drive.frame(seed=seed), **options)
    both(out, "way_cr.csv", drive.frame(seed=90), lineterminator="\r")
    both(out, "way_apostrophe.csv", drive.frame(seed=91), quotechar="'", quoting=csv.QUOTE_ALL)
    both(out, "way_round_brackets.csv", drive.frame(seed=92, brackets="()"))


def encodings(out):
    """Letters outside ASCII stand in names and units."""
    for seed, (encoding, sep) in enumerate(itertools.product(ENCODINGS, ",;\t")):
        table = drive.frame(seed=200 + seed)
        table["Öltemperatur [°C]"] = table["coolant temperature [°C]"] + 3.5
        kind = {",": "comma", ";": "semicolon", "\t": "tab"}[sep]
        decimal = "," if sep == ";" else "."
        both(out, f"text_{encoding}_{kind}.csv", table, encoding=encoding, sep=sep, decimal=decimal)
    for encoding in ("utf-16-le", "utf-16-be", "cp1252"):
        both(out, f"text_{encoding}.csv", drive.frame(seed=220), encoding=encoding)


def packed(out):
    for seed, (kind, ending) in enumerate([("gzip", "gz"), ("zip", "zip")]):
        for encoding in ENCODINGS:
            name = f"packed_{encoding}.csv.{ending}"
            options = dict(compression=kind, encoding=encoding)
            both(out, name, drive.frame(seed=300 + seed), reading=dict(compression=kind), **options)


def blanks(out):
    """Missing readings in the spellings that programs give them."""
    spelled = ["", "NaN", "nan", "NA", "N/A", "null", "None", "-", "--", "#N/A", "<NA>", "?"]
    for seed, na_rep in enumerate(spelled):
        reading = dict(na_values=spelled[1:])
        both(out, f"blank_{seed:02}.csv", drive.frame(seed=400 + seed), na_rep=na_rep, reading=reading)
    sparse = drive.frame(seed=420)
    for at, name in enumerate(sparse.columns[1:]):
        sparse[name] = drive.with_holes(sparse[name], 420 + at, 0.8)
    both(out, "blank_mostly.csv", sparse)
    both(out, "blank_two_rates.csv", two_rates())
    late = drive.frame(seed=421)
    late.iloc[:20, 1:4] = np.nan
    both(out, "blank_first_third.csv", late)


def two_rates():
    """Two sensors' records in one table, in order of time."""
    fast, slow = drive.frame(200, 50.0, 430), drive.frame(20, 4.7, 431)
    fast, slow = fast.iloc[:, [0, 1, 2]], slow.iloc[:, [0, 3, 4]]
    return pd.concat([fast, slow]).sort_values("time [s]", kind="stable")


def numbers(out):
    """Numbers in the forms that `float_format` and the types of columns give."""
    forms = ["%.3f", "%.6e", "%g", "%.17g", "%+.4f", "%12.4f", "%E"]
    for seed, form in enumerate(forms):
        table = drive.frame(seed=500 + seed)
        both(out, f"number_{seed}.csv", table, float_format=form, reading=dict(skipinitialspace=True))
    parted = dict(float_format=lambda value: f"{value:,.3f}", sep=";")
    both(out, "number_thousands.csv", drive.frame(seed=510), reading=dict(thousands=","), **parted)
    table = drive.frame(seed=511)
    rng = np.random.default_rng(511)
    table["wide"] = rng.normal(size=len(table)) * 10.0 ** rng.uniform(-30, 30, len(table))
    table["whole"] = rng.integers(-(2**53), 2**53, len(table))
    table["flag"] = rng.uniform(size=len(table)) > 0.5
    table["short"] = rng.normal(size=len(table)).astype(np.float32)
    table["held"] = np.repeat(rng.normal(size=len(table) // 5) * 100.0, 5)
    table["driver"] = "A. N. Other"
    both(out, "number_types.csv", table)
    polled = drive.frame(400, seed=512, holes=False)
    for at in range(1, 8):
        polled.iloc[:, at] = polled.iloc[(np.arange(400) - at) // 7 * 7 + at, at].to_numpy()
    both(out, "number_polled_in_turn.csv", polled.iloc[7:])


def layouts(out):
    """Where names, units and readings stand."""
    table = drive.frame(seed=600)
    units = [(bare(name), name[len(bare(name)) :].strip(" []")) for name in table.columns]
    two = table.copy()
    two.columns = pd.MultiIndex.from_tuples(units)
    both(out, "layout_units_below.csv", two, reading=dict(header=0, skiprows=[1]))
    both(out, "layout_units_below_semicolon.csv", two, sep=";", decimal=",",
         reading=dict(header=0, skiprows=[1]))
    above = out.file("layout_text_above.csv")
    text = table.to_csv(index=False)
    above.write_text(f"Recorded by,someone\nTrack,\"Long, straight\"\n\n{text}", encoding="utf-8")
    read(out, above, skiprows=3)
    indexed = table.set_index("time [s]")
    both(out, "layout_time_as_index.csv", indexed, index=True)
    indexed.index.name = None
    both(out, "layout_index_without_name.csv", indexed, index=True)
    both(out, "layout_rows_counted.csv", table, index=True, reading=dict(time="time [s]"))
    both(out, "layout_time_last.csv", table[list(table.columns[1:]) + ["time [s]"]],
         reading=dict(time="time [s]"))


def long_ones(out):
    """Tables in which the first records do not show what the last ones are."""
    table = drive.frame(9000, 100.0, 610)
    both(out, "long.csv", table)
    both(out, "long_semicolon.csv", table, sep=";", decimal=",")
    late = drive.frame(6000, 100.0, 611, holes=False).iloc[:, :4].astype(object)
    # Whole numbers first, then parts; blank first, then numbers; a word here and there.
    late.iloc[:5000, 1] = [int(value) for value in late.iloc[:5000, 1]]
    late.iloc[:4000, 2] = None
    late.iloc[777::1000, 3] = "err"
    words = dict(na_values=["err"])
    both(out, "long_late.csv", late, reading=words)
    commas = out.file("long_late_semicolon.csv")
    commas.write_text(late.to_csv(sep=";", index=False).replace(".", ","), encoding="utf-8")
    read(out, commas, sep=";", decimal=",", **words)
    wide = pd.concat([drive.frame(40, seed=612 + at).iloc[:, 1:] for at in range(60)], axis=1)
    wide.columns = [f"signal {at}" for at in range(wide.shape[1])]
    wide.insert(0, "time [s]", drive.clock(40, 10.0, 612))
    both(out, "long_lines.csv", wide)
    both(out, "layout_newest_first.csv", table.iloc[500::-1], reading=dict(clock=Clock.of_seconds))


def odd_names(out):
    """Separators, quotation marks and line ends in names, and cells parted by blanks."""
    table = drive.frame(seed=620)
    table.columns = [table.columns[0], "speed, engine", 'the "other" one', "two\nlines", "a;b", "c|d",
                     "tab\there", "plain"]
    for kind, sep in SEPARATORS.items():
        both(out, f"names_{kind}.csv", table, sep=sep)
        both(out, f"names_all_{kind}.csv", table, sep=sep, quoting=csv.QUOTE_ALL)
    table.columns = ["time", *"abcdefg"]
    full = table.ffill().bfill()
    both(out, "names_blanks_between.csv", full, sep=" ")


def one_by_one(out):
    """A reading a line, with the name of its channel."""
    for seed, sep in enumerate(",;"):
        table = drive.frame(seed=630 + seed).melt("time [s]", var_name="channel").dropna()
        table = table.sort_values("time [s]", kind="stable")
        path = out.file(f"one_by_one_{seed}.csv")
        table.to_csv(path, sep=sep, index=False)
        table = pd.read_csv(path, sep=sep, float_precision="round_trip")
        names = table["channel"].unique()
        rows = {name: np.flatnonzero(table["channel"] == name) for name in names}
        columns = [(bare(name), at, table["value"].iloc[at], 0.0) for name, at in rows.items()]
        out.keep(path, READER, Clock.of_seconds(table["time [s]"]), columns)


def exported(out, mdf, name):
    """A measurement that asammdf wrote as a table, a row of units below the names."""
    path = out.file(name)
    # Its own escape character is one that Python's csv refuses from 3.13 on.
    how = dict(single_time_base=True, add_units=True, overwrite=True, escapechar=None)
    mdf.export("csv", path, **how)
    read(out, path, skiprows=[1])
