"""Fingerprints: what was made can be kept for as long as nothing that matters has changed.

Values are written out field by field, so that the same values give the same fingerprint in every
process and in every run. The program's own is made of its source files, data included (but for the
command line and the desk, which make no page), and of the versions of what it works with.

Public: fingerprint, program, OTHER_PROGRAMS.
"""

import hashlib
from collections.abc import Iterator, Mapping, Set
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from pathlib import Path

OTHER_PROGRAMS = (
    "cairosvg",
    "cairocffi",
    "music21",
    "networkx",
    "numpy",
    "ortools",
    "pypdf",
    "verovio",
)
"""The packages whose versions may show in what is made."""

_ROOMS = ("tune", "fretboard", "scoring", "solver", "undersong")
_LEFT_OUT = ("undersong/cli/", "undersong/desk/")


def fingerprint(*values: object) -> str:
    """Sixty-four letters that the values have in common with no others; TypeError for a value of a
    kind that cannot be written out."""
    told = hashlib.sha256()
    for word in _words(values):
        told.update(word)
    return told.hexdigest()


@cache
def program() -> str:
    """The program's own fingerprint, as it lies on this machine."""
    import platform
    from importlib.metadata import PackageNotFoundError, version

    found = []
    for name in OTHER_PROGRAMS:
        try:
            found.append((name, version(name)))
        except PackageNotFoundError:
            found.append((name, ""))
    top = Path(__file__).parents[2]
    sources = []
    for room in _ROOMS:
        for path in sorted((top / room).rglob("*")):
            name = path.relative_to(top).as_posix()
            if name.startswith(_LEFT_OUT) or "__pycache__" in name or not path.is_file():
                continue
            sources.append((name, hashlib.sha256(path.read_bytes()).hexdigest()))
    return fingerprint(tuple(sources), tuple(found), platform.python_version())


def _words(value: object) -> Iterator[bytes]:
    """The value in pieces, each with the sign of its kind and its length, so that none runs into
    the next."""
    if is_dataclass(value) and not isinstance(value, type):
        shown = fields(value)
        yield _sized(b"D", type(value).__qualname__.encode(), len(shown))
        for field in shown:
            yield _sized(b"F", field.name.encode())
            yield from _words(getattr(value, field.name))
    elif isinstance(value, Enum):
        yield _sized(b"E", f"{type(value).__qualname__}.{value.name}".encode())
    elif isinstance(value, str):
        yield _sized(b"S", value.encode("utf-8", "surrogatepass"))
    elif isinstance(value, bytes):
        yield _sized(b"B", value)
    elif value is None or isinstance(value, bool | int | float):
        yield _sized(type(value).__name__[:1].encode(), repr(value).encode())
    elif isinstance(value, tuple | list):
        yield _sized(b"T", b"", len(value))
        for each in value:
            yield from _words(each)
    elif isinstance(value, Mapping):
        yield _sized(b"M", b"", len(value))
        yield from sorted(_joined((key, each)) for key, each in value.items())
    elif isinstance(value, Set):
        yield _sized(b"C", b"", len(value))
        yield from sorted(_joined(each) for each in value)
    elif hasattr(value, "numerator") and hasattr(value, "denominator"):
        yield _sized(b"Q", f"{value.numerator}/{value.denominator}".encode())
    else:
        raise TypeError(f"a {type(value).__qualname__} has no fingerprint")


def _joined(value: object) -> bytes:
    return b"".join(_words(value))


def _sized(sign: bytes, content: bytes, count: int = 0) -> bytes:
    return b"%s%d:%d:" % (sign, len(content), count) + content
