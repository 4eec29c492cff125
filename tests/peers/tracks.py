"""GPX through gpxpy: tracks written in both versions of the form, and read back."""

import datetime as dt
import xml.etree.ElementTree as xml
from importlib import metadata

import gpxpy
import gpxpy.gpx
import numpy as np

import drive
from found import Clock

READER = f"gpxpy {metadata.version('gpxpy')}"
START = dt.datetime(2024, 5, 21, 12, 0, 0, tzinfo=dt.timezone.utc)
EXTENSION = "http://example.com/speeds"


def write(out):
    for version in ("1.0", "1.1"):
        tag = version.replace(".", "")
        drawn(out, f"track_{tag}.gpx", 1, version)
        drawn(out, f"track_{tag}_10hz.gpx", 2, version, rate_hz=10.0)
        drawn(out, f"track_{tag}_bare.gpx", 3, version, extras=False)
        drawn(out, f"track_{tag}_segments.gpx", 4, version, segments=4)
        drawn(out, f"track_{tag}_tracks.gpx", 5, version, tracks=3)
        drawn(out, f"track_{tag}_holes.gpx", 6, version, holes=True)
        drawn(out, f"track_{tag}_west.gpx", 7, version, zone=dt.timezone(-dt.timedelta(hours=7)))
        drawn(out, f"track_{tag}_others.gpx", 8, version, others=True)
        drawn(out, f"track_{tag}_one_line.gpx", 9, version, pretty=False)
    drawn(out, "track_speed_extension.gpx", 10, "1.1", extension=True)
    drawn(out, "track_speed_extension_holes.gpx", 11, "1.1", extension=True, holes=True)


def drawn(out, name, seed, version, rate_hz=1.0, extras=True, segments=1, tracks=1, holes=False,
          zone=dt.timezone.utc, others=False, pretty=True, extension=False):
    """Writes a track of a made-up drive and reads it."""
    made = gpxpy.gpx.GPX()
    made.nsmap["s"] = EXTENSION
    places = list(points(seed, rate_hz, extras, holes, zone, extension))
    parts = np.array_split(np.arange(len(places)), segments * tracks)
    for at, part in enumerate(parts):
        if at % segments == 0:
            made.tracks.append(gpxpy.gpx.GPXTrack(name=f"drive {at}"))
        segment = gpxpy.gpx.GPXTrackSegment([places[place] for place in part])
        made.tracks[-1].segments.append(segment)
    if others:
        made.waypoints.append(gpxpy.gpx.GPXWaypoint(1.0, 2.0, elevation=3.0, time=START))
        made.routes.append(gpxpy.gpx.GPXRoute("there"))
        made.routes[0].points.append(gpxpy.gpx.GPXRoutePoint(4.0, 5.0))
    path = out.file(name)
    path.write_text(made.to_xml(version=version, prettyprint=pretty), encoding="utf-8")
    read(out, path)


def points(seed, rate_hz, extras, holes, zone, extension, count=80):
    rng = np.random.default_rng(seed)
    for at, seconds in enumerate(drive.clock(count, rate_hz, seed, 0.2)):
        time = (START + dt.timedelta(milliseconds=round(seconds * 1000))).astimezone(zone)
        point = gpxpy.gpx.GPXTrackPoint(
            round(48.0 + at * 1e-4 + rng.uniform(0, 1e-5), 7),
            round(-11.0 - at * 2e-4 - rng.uniform(0, 1e-5), 7),
            time=time,
        )
        full = not holes or rng.uniform() > 0.3
        if extras and full:
            point.elevation = round(519.0 + rng.uniform(0, 9), 2)
            point.speed = round(at * 0.7 + rng.uniform(0, 0.5), 3)
            point.horizontal_dilution = round(rng.uniform(0.6, 2.5), 2)
        if extension and full:
            speed = xml.Element(f"{{{EXTENSION}}}speed")
            speed.text = f"{at * 0.7 + rng.uniform(0, 0.5):.4f}"
            point.extensions.append(speed)
        yield point


def read(out, path):
    with open(path, encoding="utf-8") as file:
        gpx = gpxpy.parse(file)
    found = [point for track in gpx.tracks for segment in track.segments for point in segment.points]
    epoch = dt.datetime(1970, 1, 1, tzinfo=dt.timezone.utc)
    ns = [(point.time - epoch) // dt.timedelta(microseconds=1) * 1000 for point in found]
    columns = {
        "latitude": lambda point: point.latitude,
        "longitude": lambda point: point.longitude,
        "elevation": lambda point: point.elevation,
        "gps speed": speed,
        "HDOP": lambda point: point.horizontal_dilution,
    }
    rows = np.arange(len(found))
    values = lambda of: [np.nan if of(point) is None else of(point) for point in found]
    out.keep(path, READER, Clock.of_instants(ns),
             [(name, rows, values(of), 0.0) for name, of in columns.items()])


def speed(point):
    if point.speed is not None:
        return point.speed
    texts = [tag.text for tag in point.extensions if tag.tag.rpartition("}")[2] == "speed"]
    return float(texts[0]) if texts else None
