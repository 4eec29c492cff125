"""What the written files are filled with: made-up readings, the same on every run.

In: a seed, a rate and a count. Out: a clock in seconds and columns of readings. They
are shaped like a car's (levels, slopes, noise, holes), but nothing is concluded from
them: they only have to come out of a file as they went in.
"""

import numpy as np
import pandas as pd

# Name, unit, and how many digits stand behind the decimal sign.
CHANNELS = [
    ("engine speed", "rpm", 1),
    ("vehicle speed", "km/h", 2),
    ("coolant temperature", "°C", 1),
    ("intake air temperature", "°F", 3),
    ("throttle", "%", 1),
    ("manifold pressure", "kPa", 2),
    ("lateral acceleration", "g", 4),
]


def clock(count, rate_hz, seed=0, jitter=0.0):
    """Rising seconds from zero, on a grid of milliseconds."""
    rng = np.random.default_rng(seed)
    steps = 1.0 / rate_hz * (1.0 + jitter * rng.uniform(-1, 1, count))
    ms = np.maximum(np.round(steps * 1000.0), 1.0).astype(np.int64)
    ms[0] = 0
    return np.cumsum(ms) / 1000.0


def columns(time_s, seed=0):
    """One array for each of CHANNELS, rounded to its digits."""
    rng = np.random.default_rng(1000 + seed)
    share = time_s / max(float(time_s[-1]), 1e-9)
    noise = lambda size: rng.normal(0.0, size, len(time_s))
    shapes = [
        900.0 + 5200.0 * (share * 3.0 % 1.0) + noise(20.0),
        170.0 * share + noise(0.3),
        88.0 + 6.0 * np.sin(share * 9.0) + noise(0.2),
        70.0 + 55.0 * share + noise(0.5),
        np.where(share * 4.0 % 1.0 > 0.3, 97.0, 3.0) + noise(0.4),
        101.0 + 95.0 * np.sin(share * 5.0) ** 2 + noise(0.5),
        np.sin(share * 20.0) * 0.9 + noise(0.05),
    ]
    return [np.round(shape, digits) for shape, (_, _, digits) in zip(shapes, CHANNELS)]


def with_holes(values, seed=0, share=0.15):
    """The same with some readings missing."""
    rng = np.random.default_rng(2000 + seed)
    values = np.asarray(values, dtype=np.float64).copy()
    values[rng.uniform(size=len(values)) < share] = np.nan
    return values


def frame(count=60, rate_hz=10.0, seed=0, jitter=0.3, holes=True, brackets="[]"):
    """A table with its clock in seconds first; every second column has holes."""
    time_s = clock(count, rate_hz, seed, jitter)
    table = {header("time", "s", brackets): time_s}
    for at, (values, (name, unit, _)) in enumerate(zip(columns(time_s, seed), CHANNELS)):
        full = with_holes(values, seed + at) if holes and at % 2 else values
        table[header(name, unit, brackets)] = full
    return pd.DataFrame(table)


def header(name, unit, brackets="[]"):
    """A column's header: the name, and its unit in brackets."""
    return f"{name} {brackets[0]}{unit}{brackets[1]}"
