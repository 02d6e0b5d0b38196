"""The same Ogg file for the same music: its stream number made a fixed one.

An Ogg stream carries a number that tells streams in one file apart, and encoders draw it at random
(RFC 3533, section 6). With one stream in the file any number serves, so it is set to a fixed one
here, and the checksum of every page is counted anew as the RFC asks: CRC with the generator
0x04c11db7, high bits first, beginning at 0, the checksum's own four bytes taken as 0. The zlib of
every Python counts the same polynomial low bits first, so bits are turned round before and after.

Public: fix_serial, SERIAL, page_checksum.
"""

import zlib
from typing import BinaryIO

SERIAL = 0x0BA55
_HEAD = 27
_SERIAL_AT, _CHECKSUM_AT, _SEGMENTS_AT = 14, 22, 26
_TURNED = bytes(int(f"{byte:08b}"[::-1], 2) for byte in range(256))
_ALL = 0xFFFFFFFF


def fix_serial(file: BinaryIO) -> None:
    """Rewrites the stream number and checksum of each page, a page at a time; ValueError where the
    file is no whole Ogg file of one stream."""
    file.seek(0)
    first: bytes | None = None
    while True:
        at = file.tell()
        head = file.read(_HEAD)
        if not head:
            break
        table = file.read(head[_SEGMENTS_AT]) if len(head) == _HEAD else b""
        body = file.read(sum(table))
        if not head.startswith(b"OggS") or len(body) != sum(table):
            raise ValueError("this is no whole Ogg file")
        serial = head[_SERIAL_AT : _SERIAL_AT + 4]
        first = first or serial
        if serial != first:
            raise ValueError("there are several streams in this Ogg file")
        page = bytearray(head + table + body)
        page[_SERIAL_AT : _SERIAL_AT + 4] = SERIAL.to_bytes(4, "little")
        page[_CHECKSUM_AT : _CHECKSUM_AT + 4] = page_checksum(bytes(page)).to_bytes(4, "little")
        file.seek(at)
        file.write(page)
        file.seek(at + len(page))
    if first is None:
        raise ValueError("this Ogg file is empty")


def page_checksum(page: bytes) -> int:
    """The checksum of a page, whatever stands in its place."""
    blank = page[:_CHECKSUM_AT] + bytes(4) + page[_CHECKSUM_AT + 4 :]
    low_first = zlib.crc32(blank.translate(_TURNED), _ALL) ^ _ALL
    return int(f"{low_first:032b}"[::-1], 2)
