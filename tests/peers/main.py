"""Writes files through general reference readers, and what these read from them.

In: the folder to make, and the folder of open recordings. Out: `files/`, and `found/`
with the columns that the reference readers saw, in files and recordings alike.
`tests/peers/main.rs` holds this program's own reading against them.
"""

import pathlib
import shutil
import sys

import clocks
import measurements
import receivers
import tables
import tracks
from found import Out


def main(folder, recordings):
    shutil.rmtree(folder, ignore_errors=True)
    out = Out(folder)
    for room in (tables, clocks, measurements, receivers, tracks):
        room.write(out)
    for name, options in tables.opened().items():
        tables.read(out, recordings / name, **options)
    measurements.read(out, recordings / "wheelspeed_imu_15s.mf4")
    receivers.read(out, recordings / "moving_in_car_bt451.nmea")
    tracks.read(out, recordings / "around-visnjan-with-car.gpx")


if __name__ == "__main__":
    main(pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]))
