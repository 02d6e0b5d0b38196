"""What one tune of a book came to: its parts as figures, and what could not be made.

Nothing here depends on how long anything took or where it ran, so that two runs give the same.

Public: Entry, Part, Failure, as_plain, entry_of.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True)
class Part:
    """One version of a tune. level: its number, None where no levels were asked for; texture:
    song, solo, bass or drone; title, key: the tune's, as printed; tuning: note names from the bass
    string on, as printed (``D3 A3 D4``); capo: the fret as printed, ``0`` for none; cost: ms of
    hand work; proven: whether there is nothing cheaper; gap: ms by which it may miss the best, 0
    where proven; hardest: percent of its hardest bar; hardest_bar: that bar as printed; median:
    percent of the middle bar; shapes: how many different ones; first_shape: the first, written
    bass-middle-melody with its fingers (``4-0-2 TP``), empty where no string is ever stopped or
    struck; file: the JSON document, relative to the book's folder, parts joined by ``/``."""

    level: int | None
    texture: str
    title: str
    key: str
    tuning: str
    capo: str
    cost: int
    proven: bool
    gap: int
    hardest: int
    hardest_bar: str
    median: int
    shapes: int
    first_shape: str
    file: str

    def __post_init__(self) -> None:
        if self.gap < 0 or (self.proven and self.gap):
            raise ValueError(f"a gap of {self.gap} ms does not go with proven={self.proven}")
        _refuse_outside(self.file)


@dataclass(frozen=True)
class Failure:
    """A version that could not be made. level: its number, None where no levels were asked for, or
    where the tune itself could not be used; reason: one sentence; mends: what would do, one
    sentence each; texture: the one asked for, empty where the tune itself could not be used;
    out_of_time: whether more time might have done; ours: whether it is a fault of this program, and
    not of the tune."""

    level: int | None
    reason: str
    mends: tuple[str, ...] = ()
    texture: str = ""
    out_of_time: bool = False
    ours: bool = False

    def __post_init__(self) -> None:
        if not self.reason:
            raise ValueError("a failure has a reason")


@dataclass(frozen=True)
class Entry:
    """One tune of the book. number: its place in the book, from 1; title: the tune's, or what it
    is called where it could not be read; source: the file or bundled tune that it came from, and
    which tune of it; parts: as asked for, in order; failures: what could not be made; pages: its
    PDF without page numbers, relative to the book's folder, empty where there is none; page_count:
    of that PDF; notices: what of the tune could not be used, one sentence each."""

    number: int
    title: str
    source: str
    parts: tuple[Part, ...] = ()
    failures: tuple[Failure, ...] = ()
    pages: str = ""
    page_count: int = 0
    notices: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.parts and not self.failures:
            raise ValueError(f"{self.title}: an entry without parts says why")
        if bool(self.pages) != bool(self.page_count) or (self.pages and not self.parts):
            raise ValueError(f"{self.title}: {self.page_count} pages do not go with its parts")
        _refuse_outside(self.pages)

    @property
    def proven(self) -> bool:
        """Whether nothing failed and every part is proven."""
        return not self.failures and all(part.proven for part in self.parts)

    @property
    def out_of_time(self) -> bool:
        """Whether more time might have given something better."""
        unproven = any(not part.proven for part in self.parts)
        return unproven or any(failure.out_of_time for failure in self.failures)

    @property
    def ours(self) -> bool:
        """Whether a fault of this program stands in the way of any of it."""
        return any(failure.ours for failure in self.failures)


def as_plain(entry: Entry) -> dict[str, Any]:
    """The entry as plain values, for JSON."""
    return asdict(entry)


def entry_of(plain: Mapping[str, Any]) -> Entry:
    """The entry that ``as_plain`` made plain; TypeError, KeyError or ValueError for no such."""
    parts = tuple(Part(**part) for part in plain["parts"])
    failures = tuple(
        Failure(**{**failure, "mends": tuple(failure["mends"])}) for failure in plain["failures"]
    )
    rest = {**plain, "parts": parts, "failures": failures, "notices": tuple(plain["notices"])}
    return Entry(**rest)


def _refuse_outside(file: str) -> None:
    if file.startswith("/") or "\\" in file or ".." in file.split("/"):
        raise ValueError(f"{file}: a file of a book lies in its folder")
