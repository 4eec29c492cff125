"""NMEA 0183 through pynmea2: sentences written field by field, and read back.

A fix is what the sentences of one instant say of it. Speed over ground is RMC's; VTG
tells no time of its own and speaks for the sentence before it, where no RMC gives a
speed in the whole file. What a void sentence says is no reading.
"""

import datetime as dt

import numpy as np
import pynmea2

import drive
from found import Clock

READER = f"pynmea2 {pynmea2.__version__}"
START = dt.datetime(2024, 5, 21, 12, 0, 0, tzinfo=dt.timezone.utc)


def write(out):
    for seed, talker in enumerate(["GP", "GN", "GL", "GA", "GB"]):
        drawn(out, f"talker_{talker}.nmea", seed, ["RMC", "GGA"], talker=talker)
    sets = ["RMC", "RMC VTG", "RMC GGA VTG", "GGA VTG", "GNS VTG", "ZDA GGA VTG", "RMC GNS GGA"]
    for seed, kinds in enumerate(sets):
        for rate_hz in (1.0, 10.0):
            name = f"set_{kinds.replace(' ', '_')}_{rate_hz:.0f}hz.nmea"
            drawn(out, name, 20 + seed, kinds.split(), rate_hz=rate_hz)
    for seed, (north, east) in enumerate([(1, -1), (-1, 1), (-1, -1)]):
        drawn(out, f"hemisphere_{seed}.nmea", 40 + seed, ["RMC", "GGA"], sign=(north, east))
    drawn(out, "midnight.nmea", 50, ["RMC"], start=START.replace(hour=23, minute=59, second=57))
    drawn(out, "midnight_by_gga.nmea", 51, ["ZDA", "GGA", "VTG"],
          start=START.replace(hour=23, minute=59, second=57))
    drawn(out, "line_ends.nmea", 52, ["RMC", "GGA"], end="\r\n")
    drawn(out, "no_checksum.nmea", 53, ["RMC", "GGA", "VTG"], summed=False)
    drawn(out, "wrong_checksums.nmea", 54, ["RMC", "GGA"], damaged=7)
    drawn(out, "void_at_times.nmea", 55, ["RMC", "GGA"], void=5)
    drawn(out, "fields_left_out.nmea", 56, ["RMC", "GGA"], left_out=4)
    drawn(out, "comments_between.nmea", 57, ["RMC"], comment=9)


def drawn(out, name, seed, kinds, talker="GP", rate_hz=5.0, sign=(1, 1), start=START, end="\n",
          summed=True, damaged=0, void=0, left_out=0, comment=0):
    """Writes sentences of a made-up drive, spoilt in some lines where asked, and reads them."""
    lines = []
    for at, fix in enumerate(fixes(seed, rate_hz, sign, start)):
        fix["void"] = void > 0 and at % void == 2
        fix["left_out"] = left_out > 0 and at % left_out == 1
        for kind in kinds:
            line = str(SENTENCES[kind](talker, fix))
            line = line if summed else line.split("*")[0]
            if damaged and at % damaged == 3:
                line = line.replace("4", "5", 1)
            lines.append(line)
        if comment and at % comment == 0:
            lines.append("# a word of the logger")
    path = out.file(name)
    path.write_bytes((end.join(lines) + end).encode("ascii"))
    read(out, path)


def fixes(seed, rate_hz, sign, start, count=60):
    rng = np.random.default_rng(seed)
    time_s = drive.clock(count, rate_hz, seed)
    for at, seconds in enumerate(time_s):
        yield {
            "at": start + dt.timedelta(milliseconds=round(seconds * 1000)),
            "lat": sign[0] * (48.0 + at * 1e-4 + rng.uniform(0, 1e-5)),
            "lon": sign[1] * (11.0 + at * 2e-4 + rng.uniform(0, 1e-5)),
            "knots": at * 1.3 + rng.uniform(0, 1.0),
            "course": (at * 7.0 + rng.uniform(0, 3.0)) % 360.0,
            "height": 519.0 + at * 0.1 + rng.uniform(0, 1.0),
            "satellites": int(rng.integers(5, 13)),
            "hdop": rng.uniform(0.6, 2.5),
        }


def of_day(fix):
    return fix["at"].strftime("%H%M%S.") + f"{fix['at'].microsecond // 10000:02}"


def angle(degrees, digits, letters):
    size = abs(degrees)
    whole = int(size)
    minutes = f"{(size - whole) * 60:08.5f}"
    return f"{whole:0{digits}}{minutes}", letters[degrees < 0]


def place(fix):
    return [*angle(fix["lat"], 2, "NS"), *angle(fix["lon"], 3, "EW")]


def rmc(talker, fix):
    motion = ["", ""] if fix["left_out"] else [f"{fix['knots']:.3f}", f"{fix['course']:.2f}"]
    status, mode = ("V", "N") if fix["void"] else ("A", "A")
    date = fix["at"].strftime("%d%m%y")
    return pynmea2.RMC(talker, "RMC", [of_day(fix), status, *place(fix), *motion, date, "", "", mode])


def gga(talker, fix):
    height = "" if fix["left_out"] else f"{fix['height']:.1f}"
    quality = "0" if fix["void"] else "1"
    rest = [f"{fix['satellites']:02}", f"{fix['hdop']:.2f}", height, "M", "46.9", "M", "", ""]
    return pynmea2.GGA(talker, "GGA", [of_day(fix), *place(fix), quality, *rest])


def gns(talker, fix):
    rest = [f"{fix['satellites']:02}", f"{fix['hdop']:.2f}", f"{fix['height']:.1f}", "46.9", "", ""]
    return pynmea2.GNS(talker, "GNS", [of_day(fix), *place(fix), "AA", *rest])


def vtg(talker, fix):
    knots, kmh = f"{fix['knots']:.3f}", f"{fix['knots'] * 1.852:.3f}"
    return pynmea2.VTG(talker, "VTG", [f"{fix['course']:.2f}", "T", "", "M", knots, "N", kmh, "K", "A"])


def zda(talker, fix):
    return pynmea2.ZDA(talker, "ZDA", [of_day(fix), *fix["at"].strftime("%d %m %Y").split(), "00", "00"])


SENTENCES = {"RMC": rmc, "GGA": gga, "GNS": gns, "VTG": vtg, "ZDA": zda}


def read(out, path):
    """Reads sentences, instant by instant."""
    instants, vtg_knots = [], []
    date = None
    for line in path.read_text(encoding="utf-8", errors="replace").splitlines():
        try:
            said = pynmea2.parse(line.strip())
        except pynmea2.ParseError:
            continue
        kind = getattr(said, "sentence_type", "")
        if kind == "VTG" and instants and said.spd_over_grnd_kts is not None:
            vtg_knots.append((len(instants) - 1, float(said.spd_over_grnd_kts)))
        if not is_fix(kind, said):
            continue
        time = said.timestamp
        if not instants or instants[-1]["time"] != time:
            instants.append({"time": time, "date": None})
        dated = {"RMC": lambda: said.datestamp, "ZDA": lambda: said.datestamp}.get(kind)
        instants[-1]["date"] = (dated and dated()) or instants[-1]["date"]
        instants[-1].update(readings(kind, said))
    if not any("speed over ground" in fix for fix in instants):
        for at, knots in vtg_knots:
            instants[at]["speed over ground"] = knots
    keep(out, path, [fix for fix in instants if set(fix) - {"time", "date"}])


def is_fix(kind, said):
    if kind not in ("RMC", "GGA", "GNS", "ZDA") or said.timestamp is None:
        return False
    void = {"RMC": lambda: said.status != "A", "GGA": lambda: not said.gps_qual,
            "GNS": lambda: said.mode_indicator.strip("N") == ""}
    return not void.get(kind, lambda: False)()


def readings(kind, said):
    """What a sentence says, by the names used here; what it leaves out is absent."""
    number = lambda field: float(field) if field not in (None, "") else None
    found = {}
    if kind in ("RMC", "GGA", "GNS") and said.lat:
        found |= {"latitude": said.latitude, "longitude": said.longitude}
    if kind == "RMC":
        found |= {"speed over ground": number(said.spd_over_grnd),
                  "course over ground": number(said.true_course)}
    if kind == "GGA":
        found |= {"altitude": number(said.altitude), "satellites": number(said.num_sats),
                  "HDOP": number(said.horizontal_dil)}
    if kind == "GNS":
        found |= {"altitude": number(said.altitude), "satellites": number(said.num_sats),
                  "HDOP": number(said.hdop)}
    return {name: value for name, value in found.items() if value is not None}


def clock(fixes):
    """Instants; a fix without a date of its own is of the day of the one before it."""
    dated = any(fix["date"] for fix in fixes)
    day = next((fix["date"] for fix in fixes if fix["date"]), dt.date(1970, 1, 1))
    instants = []
    for fix in fixes:
        day = fix["date"] or day
        at = dt.datetime.combine(day, fix["time"].replace(tzinfo=None))
        if instants and not fix["date"] and at < instants[-1] - dt.timedelta(hours=12):
            day += dt.timedelta(days=1)
            at += dt.timedelta(days=1)
        instants.append(at)
    microseconds = [(at - dt.datetime(1970, 1, 1)) // dt.timedelta(microseconds=1) for at in instants]
    if dated:
        return Clock.of_instants(np.array(microseconds) * 1000)
    return Clock.of_seconds(np.array(microseconds) / 1e6)


def keep(out, path, fixes):
    names = ["speed over ground", "latitude", "longitude", "altitude", "course over ground",
             "satellites", "HDOP"]
    columns = []
    for name in names:
        rows = [at for at, fix in enumerate(fixes) if name in fix]
        # Degrees are worked out of degrees and minutes: two roundings of a double.
        slack = 5e-16 if name in ("latitude", "longitude") else 0.0
        columns.append((name, np.array(rows, dtype=int), [fixes[at][name] for at in rows], slack))
    out.keep(path, READER, clock(fixes), columns)
