"""Clocks as pandas writes them: seconds, parts of seconds, instants in many zones and hands."""

import numpy as np
import pandas as pd

import drive
from tables import both, durations, instants, instants_as, parts, since_1970

START = pd.Timestamp("2024-05-01 12:00:00")
# Summer time ends in central Europe within a minute of this.
NIGHT = pd.Timestamp("2024-10-27 00:59:40")


def write(out):
    numbers(out)
    dates(out)
    zones(out)
    spans(out)


def stamped(seed, start=START, **options):
    """A table without its clock, and the clock's whole milliseconds and instants."""
    table = drive.frame(seed=seed, **options)
    ms = (table.pop("time [s]") * 1000).round().astype(np.int64)
    return table, ms, start + pd.to_timedelta(ms, unit="ms")


def timed(out, name, table, column, clock, header="timestamp", **options):
    table.insert(0, header, column)
    both(out, name, table, reading=dict(clock=clock), **options)


def numbers(out):
    for seed, (unit, per_second) in enumerate([("ms", 10**3), ("us", 10**6), ("ns", 10**9)]):
        table, ms, _ = stamped(700 + seed)
        whole = ms * (per_second // 1000)
        timed(out, f"clock_{unit}.csv", table, whole, parts(per_second), f"time [{unit}]")
    table, ms, _ = stamped(705)
    timed(out, "clock_min.csv", table, ms / 60_000, parts(1 / 60), "time [min]")
    for seed, (unit, per_second) in enumerate(
        [("s", 1), ("ms", 10**3), ("us", 10**6), ("ns", 10**9)]
    ):
        table, _, instant = stamped(710 + seed)
        ns = instant.astype("datetime64[ns]").astype(np.int64)
        count = ns / 1e9 if unit == "s" else ns // (10**9 // per_second)
        timed(out, f"clock_1970_{unit}.csv", table, count, since_1970(per_second))
    table, ms, _ = stamped(715)
    timed(out, "clock_from_late.csv", table, 86_000.0 + ms / 1000, parts(1), "time [s]")


def dates(out):
    """`date_format` in the hands of several countries, to the part of a second."""
    forms = [
        "%Y-%m-%d %H:%M:%S.%f",
        "%Y-%m-%dT%H:%M:%S.%f",
        "%Y-%m-%dT%H:%M:%S.%fZ",
        "%d.%m.%Y %H:%M:%S.%f",
        "%m/%d/%Y %H:%M:%S.%f",
        "%m/%d/%Y %I:%M:%S.%f %p",
        "%d-%b-%Y %H:%M:%S.%f",
        "%Y/%m/%d %H:%M:%S.%f",
        "%Y%m%d %H:%M:%S.%f",
    ]
    for seed, form in enumerate(forms):
        # On the 21st no month can be meant.
        table, _, instant = stamped(720 + seed, START + pd.Timedelta(days=20))
        timed(out, f"clock_date_{seed}.csv", table, instant, instants_as(form), date_format=form)
    table, _, instant = stamped(735)
    table.index = pd.DatetimeIndex(instant, name="timestamp")
    both(out, "clock_index.csv", table, index=True, reading=dict(clock=instants))
    midnight = pd.Timestamp("2023-12-31 23:59:58")
    table, _, instant = stamped(736, midnight)
    timed(out, "clock_new_year.csv", table, instant, instants)
    seconds = drive.frame(seed=737, rate_hz=1.0, jitter=0.0)
    instant = START + pd.to_timedelta(seconds.pop("time [s]"), unit="s")
    timed(out, "clock_whole_seconds.csv", seconds, instant, instants)


def zones(out):
    for seed, zone in enumerate(["UTC", "Europe/Berlin", "America/St_Johns", "Asia/Tokyo"]):
        table, _, instant = stamped(740 + seed)
        timed(out, f"clock_zone_{seed}.csv", table, instant.dt.tz_localize(zone), instants)
    table, _, instant = stamped(750, NIGHT, rate_hz=1.0)
    local = instant.dt.tz_localize("UTC").dt.tz_convert("Europe/Berlin")
    timed(out, "clock_summer_time_ends.csv", table, local, instants)


def spans(out):
    """Durations, and the time of day alone."""
    table, ms, _ = stamped(760)
    timed(out, "clock_duration.csv", table, pd.to_timedelta(ms, unit="ms"), durations, "time")
    table, _, instant = stamped(761)
    of_day = instant.dt.strftime("%H:%M:%S.%f")
    timed(out, "clock_of_day.csv", table, of_day, durations, "time")
