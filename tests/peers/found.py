"""What a reference reader found in a file, as plain JSON that any language reads.

In: a file and the columns read from it. Out: `found/<file>.json` with
`file`, `reader`, `unix` (whether the clock counts from 1970, UTC), `start_s` (the time
of the first record on that clock) and `columns`: `name`, `time_s` (from the first
record), `value`, and `slack`, the share by which a value may differ for rounding alone.
A reading that is missing is in neither list.
"""

import json
import re

import numpy as np


class Out:
    """The folder that files and findings go to."""

    def __init__(self, folder):
        self.files = folder / "files"
        self.found = folder / "found"
        self.files.mkdir(parents=True)
        self.found.mkdir(parents=True)

    def file(self, name):
        return self.files / name

    def keep(self, path, reader, clock, columns):
        """Writes down the columns of a file; `columns` are (name, rows, values, slack)."""
        found = {
            "file": str(path),
            "reader": reader,
            "unix": clock.unix,
            "start_s": clock.start_s,
            "time_slack_s": clock.slack_s,
            "columns": [column(clock, *each) for each in columns],
        }
        found["columns"] = [each for each in found["columns"] if each["value"]]
        text = json.dumps(found, ensure_ascii=False, allow_nan=False)
        (self.found / f"{path.name}.json").write_text(text, encoding="utf-8")


class Clock:
    """The times of a file's records, from the first of them."""

    def __init__(self, time_s, start_s=0.0, unix=False, slack_s=1e-9):
        self.time_s = np.asarray(time_s, dtype=np.float64)
        self.start_s, self.unix, self.slack_s = float(start_s), unix, slack_s

    @classmethod
    def of_seconds(cls, seconds):
        seconds = np.asarray(seconds, dtype=np.float64)
        start_s = np.nanmin(seconds)
        return cls(seconds - start_s, start_s)

    @classmethod
    def of_instants(cls, ns):
        """Whole nanoseconds from 1970. A double of such seconds is good to 0.24 µs."""
        ns = np.asarray(ns, dtype=np.int64)
        start_ns = int(ns.min())
        return cls((ns - start_ns) / 1e9, start_ns / 1e9, True, 1e-6)


def column(clock, name, rows, values, slack):
    values = np.asarray(values)
    time_s = clock.time_s[rows]
    kept = np.isfinite(values.astype(np.float64)) & np.isfinite(time_s)
    # A file may hold its pieces in any order; a log is in order of time.
    order = np.flatnonzero(kept)[np.argsort(time_s[kept], kind="stable")]
    return {
        "name": name,
        "time_s": time_s[order].tolist(),
        "value": [float(value) for value in values[order]],
        "slack": slack,
    }


def bare(header):
    """A header on one line, without the unit in brackets behind it; no name is a number."""
    nameless = re.fullmatch(r"Unnamed: (\d+)", header)
    if nameless:
        return f"column {int(nameless[1]) + 1}"
    header = " ".join(header.splitlines())
    return re.sub(r"\s*[\[(][^\[\]()]*[\])]\s*$", "", header).strip()
