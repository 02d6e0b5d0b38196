"""Where a tune's bytes come from: a file, or standard input written as ``-``.

Text is UTF-8; what is no UTF-8 is read as Latin-1, which never fails, and a notice says so. A file
may have at most ``MOST_BYTES`` bytes, since a tune is small and a mistaken name may be anything.
Everything that goes wrong is a TuneError of one sentence.

Public: read_bytes, as_text, MOST_BYTES.
"""

import sys
from pathlib import Path
from typing import BinaryIO

from tune.errors import Place, TuneError

MOST_BYTES = 8 * 1024 * 1024
_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")


def read_bytes(name: str | Path, stdin: BinaryIO | None = None) -> bytes:
    """The bytes of the file ``name``, or of ``stdin`` (the process's own) when it is ``-``."""
    label = str(name)
    place = Place("standard input" if label == "-" else label)
    try:
        if label == "-":
            stream = stdin if stdin is not None else sys.stdin.buffer
            data = stream.read(MOST_BYTES + 1)
        else:
            with Path(name).open("rb") as stream:
                data = stream.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise TuneError("there is no such file; check the name and the folder", place) from None
    except IsADirectoryError:
        raise TuneError("this is a folder; name a file in it", place) from None
    except PermissionError:
        raise TuneError("this file may not be read; change its permissions", place) from None
    except (OSError, ValueError) as error:  # ValueError: a NUL in the name
        raise TuneError(f"the file could not be read ({error})", place) from None
    if len(data) > MOST_BYTES:
        most = MOST_BYTES // (1024 * 1024)
        raise TuneError(f"the file is larger than {most} megabytes; is it a tune?", place)
    if not data.strip():
        raise TuneError("the file is empty", place)
    return data


def as_text(data: bytes, name: str = "") -> tuple[str, tuple[str, ...]]:
    """The text of ``data`` and the notices that its reading gave."""
    place = Place(name)
    if data.startswith(_UTF16_MARKS):
        try:
            return data.decode("utf-16"), ()
        except UnicodeDecodeError:
            raise TuneError("the file is broken UTF-16 text; save it as UTF-8", place) from None
    if b"\0" in data:
        raise TuneError("this is no text file", place)
    try:
        return data.decode("utf-8-sig"), ()
    except UnicodeDecodeError:
        notice = "the file is not UTF-8 and was read as Latin-1; check its accented letters"
        return data.decode("latin-1"), (notice,)
