"""An MDF 4 file whose records are mixed, as a recorder leaves them while it is driving.

In: a file in which every group has records of its own, as asammdf saves it. Out: the
same groups in one data block, every record behind the number of its group. asammdf
writes no such file, but reads it. Layout: the block tables of asammdf 8.8.
"""

import struct
import zlib

HEADER_AT = 64
LINKS_AT = 24


def mixed(sorted_file, id_bytes, order, zipped=False):
    """`order` tells, record by record, from which group it comes."""
    file = bytearray(sorted_file)
    groups = [group for group in chain(file, link(file, HEADER_AT, 0))]
    first, channel_groups = groups[0], [link(file, group, 1) for group in groups]
    records = [iter(records_of(file, group)) for group in groups]
    data = b"".join(
        int(group + 1).to_bytes(id_bytes, "little") + next(records[group]) for group in order
    )
    for number, at in enumerate(channel_groups):
        struct.pack_into("<Q", file, data_at(file, at), number + 1)
        struct.pack_into("<Q", file, LINKS_AT + at, ([*channel_groups, 0])[number + 1])
    file[data_at(file, first)] = id_bytes
    struct.pack_into("<Q", file, LINKS_AT + first, 0)
    struct.pack_into("<Q", file, LINKS_AT + first + 16, len(file))
    return bytes(file) + (zipped_block(data) if zipped else block(b"##DT", data))


def counts(sorted_file):
    """How many records every group has."""
    file = bytearray(sorted_file)
    groups = chain(file, link(file, HEADER_AT, 0))
    return [field(file, link(file, group, 1), "<Q", 8) for group in groups]


def records_of(file, group):
    """The records of a data group with a single group of channels."""
    channels = link(file, group, 1)
    length = sum(field(file, channels, "<I", at) for at in (24, 28))
    block_at = link(file, group, 2)
    assert file[block_at : block_at + 4] == b"##DT", "one plain block of data"
    start = block_at + LINKS_AT
    count = field(file, channels, "<Q", 8)
    return [bytes(file[start + at * length : start + (at + 1) * length]) for at in range(count)]


def chain(file, at):
    while at:
        yield at
        at = link(file, at, 0)


def link(file, at, number):
    return struct.unpack_from("<Q", file, at + LINKS_AT + 8 * number)[0]


def data_at(file, at):
    return at + LINKS_AT + 8 * struct.unpack_from("<Q", file, at + 16)[0]


def field(file, at, form, offset):
    return struct.unpack_from(form, file, data_at(file, at) + offset)[0]


def block(name, data):
    size = LINKS_AT + len(data)
    return name + bytes(4) + struct.pack("<QQ", size, 0) + data + bytes(-size % 8)


def zipped_block(data):
    packed = zlib.compress(data)
    return block(b"##DZ", b"DT" + struct.pack("<BBIQQ", 0, 0, 0, len(data), len(packed)) + packed)
