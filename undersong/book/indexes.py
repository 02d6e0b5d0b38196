"""The indexes of a book, as lines under headings: by title, tuning, key, level and first shape.

A tune has one line under each heading that any of its versions belongs to: with the page that the
tune begins on where all of them do, else with the pages of those that do. By level or difficulty
each version has a line of its own. Only what has a page is listed.

Public: Index, Group, Line, indexes_of, INDEX_BY, BANDS.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from undersong.book.bound import Bound
from undersong.book.entry import Entry, Part
from undersong.book.words import (
    initial,
    key_order,
    key_words,
    natural,
    shown,
    sort_key,
    tuning_words,
    turned,
)


@dataclass(frozen=True)
class Line:
    """words: what is looked for; pages: where it stands, each once, in order; detail: a figure
    beside the pages."""

    words: str
    pages: tuple[int, ...]
    detail: str = ""


@dataclass(frozen=True)
class Group:
    """heading: of the lines, which are in order."""

    heading: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Index:
    """title: such as ``Index by key``; note: how it is read; groups: in order, none empty."""

    title: str
    note: str
    groups: tuple[Group, ...]


@dataclass(frozen=True)
class _Version:
    """One part of a tune and the page that it begins on."""

    entry: Entry
    part: Part
    page: int


INDEX_BY = "Index by "

BANDS: Mapping[int, str] = {
    50: "Hardest bar up to 50 %",
    75: "Hardest bar 51 to 75 %",
    100: "Hardest bar 76 to 100 %",
}
"""Percent, the most of a band → its heading."""

_BEYOND = "Hardest bar beyond 100 %"


def indexes_of(entries: Sequence[Entry], bound: Bound) -> tuple[Index, ...]:
    """Every index that has anything in it."""
    versions = [
        _Version(entry, part, page)
        for entry in entries
        for at, part in enumerate(entry.parts)
        if (page := bound.page_of(entry.number, at)) is not None
    ]
    found = (
        _by_title(versions),
        _by_tuning(versions),
        _by_key(versions),
        _by_level(versions),
        _by_shape(versions),
    )
    return tuple(index for index in found if index.groups)


def _by_title(versions: Sequence[_Version]) -> Index:
    first: dict[int, _Version] = {}
    for version in versions:
        first.setdefault(version.entry.number, version)
    groups: dict[str, list[Line]] = {}
    for one in sorted(first.values(), key=_title):
        title = one.entry.title
        groups.setdefault(initial(title), []).append(Line(turned(title), (one.page,)))
    made = tuple(Group(heading, tuple(lines)) for heading, lines in groups.items())
    return Index(f"{INDEX_BY}title", "", made)


def _by_tuning(versions: Sequence[_Version]) -> Index:
    def words(part: Part) -> str:
        return tuning_words(part.tuning, part.capo)

    def order(part: Part) -> tuple[Any, ...]:
        return natural(part.tuning), part.tuning, natural(part.capo), part.capo

    note = "Strings from bass to melody. Tunes under one heading need no retuning in between."
    return Index(f"{INDEX_BY}tuning", note, _grouped(versions, words, order))


def _by_key(versions: Sequence[_Version]) -> Index:
    return Index(
        f"{INDEX_BY}key",
        "",
        _grouped(versions, lambda part: key_words(part.key), lambda part: key_order(part.key)),
    )


def _by_shape(versions: Sequence[_Version]) -> Index:
    note = (
        "The shape that the hand takes up first: frets from the bass string to the melody string, "
        "0 where no finger is, and the fingers."
    )
    return Index(
        f"{INDEX_BY}first shape",
        note,
        _grouped(
            versions,
            lambda part: part.first_shape or "Open strings alone",
            lambda part: _shape_order(part.first_shape),
        ),
    )


def _by_level(versions: Sequence[_Version]) -> Index:
    """By level where there are any, else by how hard the hardest bar is; the easiest first."""
    levels = any(version.part.level is not None for version in versions)
    about = "the hardest bar, in percent of what the hand can do, and the page; the easiest first."

    def heading(part: Part) -> str:
        if levels:
            return "No level" if part.level is None else f"Level {part.level}"
        return next((words for most, words in BANDS.items() if part.hardest <= most), _BEYOND)

    def order(version: _Version) -> tuple[Any, ...]:
        part = version.part
        level = part.level if part.level is not None else 1 << 30
        return (level if levels else 0), part.hardest, part.median, _title(version), version.page

    textures = len({version.part.texture for version in versions}) > 1
    groups: dict[str, list[Line]] = {}
    for version in sorted(versions, key=order):
        part, title = version.part, shown(version.entry.title)
        words = f"{title} ({part.texture})" if textures else title
        line = Line(words, (version.page,), f"{part.hardest} %")
        groups.setdefault(heading(part), []).append(line)
    made = tuple(Group(heading, tuple(lines)) for heading, lines in groups.items())
    title = f"{INDEX_BY}level" if levels else f"{INDEX_BY}difficulty"
    return Index(title, f"Beside each tune {about}", made)


def _grouped(
    versions: Iterable[_Version],
    heading: Callable[[Part], str],
    order: Callable[[Part], Any],
) -> tuple[Group, ...]:
    """Headings in that order; under each the tunes by title, with the pages of their versions."""
    under: dict[Any, tuple[str, dict[int, list[_Version]]]] = {}
    for version in versions:
        _, tunes = under.setdefault(order(version.part), (heading(version.part), {}))
        tunes.setdefault(version.entry.number, []).append(version)
    return tuple(
        Group(words, tuple(_lines(tunes)))
        for _, (words, tunes) in sorted(under.items(), key=lambda item: item[0])
    )


def _lines(tunes: Mapping[int, Sequence[_Version]]) -> Iterator[Line]:
    for versions in sorted(tunes.values(), key=lambda some: _title(some[0])):
        pages = tuple(version.page for version in versions)
        if len(pages) == len(versions[0].entry.parts):
            pages = pages[:1]
        yield Line(turned(versions[0].entry.title), pages)


def _title(version: _Version) -> tuple[Any, ...]:
    return sort_key(version.entry.title), version.entry.number


def _shape_order(shape: str) -> tuple[Any, ...]:
    """Low frets first, the bass string's before the others'; a half fret behind its whole one; open
    strings alone last."""
    frets, _, fingers = shape.partition(" ")
    marks = tuple((natural(fret), fret) for fret in frets.split("-") if fret)
    return not shape, marks, fingers
