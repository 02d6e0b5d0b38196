"""Gathering the tunes of a book: of a folder, a list, or one file. Nothing is read further than to
tell a file's tunes apart; what cannot be read is a tune with its trouble, and stops nothing.

Public: gathered, Gathered, NoTunes.
"""

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path, PurePath

import corpus
from fretboard.errors import FretboardError
from fretboard.instrument import Instrument
from solver.errors import ConditionError
from tune.errors import Place, TuneError
from tune.readers import FORMS, sniff
from tune.readers.source import as_text, read_bytes
from undersong.book.parting import parted
from undersong.book.source import MOST_LETTERS, Source
from undersong.conditions_file import SUFFIX as CONDITIONS
from undersong.conditions_file import beside, read_wishes
from undersong.file_names import plain_name

_SUFFIXES = {suffix: name for name, form in FORMS.items() for suffix in form.suffixes}
_DIGITS = "0123456789"


class NoTunes(ValueError):  # noqa: N818  what there is not
    """There is nothing to make a book of; one sentence."""


@dataclass(frozen=True)
class Gathered:
    """sources: the tunes in the book's order, their names all different; notes: what was passed
    over, a sentence each; called: what the book is called where nobody says."""

    sources: tuple[Source, ...]
    notes: tuple[str, ...]
    called: str


def gathered(source: str, instrument: Instrument, conditions: bool, out: Path) -> Gathered:
    """The tunes of a folder (and the folders in it, in the order of their names), of a list that
    ends in ``.txt``, of one file, or one bundled tune.

    instrument: for the frets in conditions; conditions: whether those in files beside tunes hold;
    out: the book's own folder, which is left out. Raises NoTunes.
    """
    path = Path(source)
    here = _Gathering(instrument, conditions, out)
    try:
        if path.is_dir():
            found, called = here.folder(path, ""), path.resolve().name
        elif source in corpus.names():
            found, called = here.named(source, Path()), source
        elif path.suffix.lower() == ".txt":
            found, called = here.listed(path), path.stem
        elif path.suffix.lower() in _SUFFIXES:
            found, called = here.file(path, path.name), path.stem
        else:
            raise NoTunes(
                f"{source}: this is no folder, no list that ends in .txt, and no tune's file; name "
                "one of them"
            )
        sources = tuple(_named_apart(found))
    except (OSError, ValueError) as error:
        if isinstance(error, NoTunes):
            raise
        why = (error.strerror if isinstance(error, OSError) else None) or error
        raise NoTunes(f"{source}: it cannot be read ({why})") from None
    if not sources:
        known = ", ".join(_SUFFIXES)
        raise NoTunes(f"{source}: there is no tune in it; a tune's file ends in one of {known}")
    if all(each.trouble for each in sources):
        raise NoTunes(f"{source}: nothing in it can be read; the first: {sources[0].trouble}")
    return Gathered(sources, tuple(here.notes), called)


class _Gathering:
    """out: what is no source of tunes; notes: what was passed over, a sentence each."""

    def __init__(self, instrument: Instrument, conditions: bool, out: Path) -> None:
        self.instrument, self.conditions, self.out = instrument, conditions, out.resolve()
        self.notes: list[str] = []

    def folder(self, path: Path, shown: str) -> Iterator[Source]:
        """Its tunes, then those of the folders in it; hidden ones are passed over."""
        with os.scandir(path) as listing:
            inside = sorted(listing, key=lambda each: _in_order(each.name))
        left_out = 0
        files = [each for each in inside if not each.name.startswith(".") and not each.is_dir()]
        for each in files:
            if PurePath(each.name).suffix.lower() in _SUFFIXES:
                yield from self.file(Path(each.path), shown + each.name)
            elif not each.name.endswith(CONDITIONS):
                left_out += 1
        if left_out:
            files_are = "1 file is" if left_out == 1 else f"{left_out} files are"
            self.notes.append(f"{path}: {files_are} left out, by the suffix no tune")
        for each in inside:
            below = Path(each.path)
            if each.name.startswith(".") or not each.is_dir(follow_symlinks=False):
                continue
            if below.resolve() == self.out:
                continue
            try:
                yield from self.folder(below, f"{shown}{each.name}/")
            except OSError as error:
                why = f"the folder cannot be read ({error.strerror or error})"
                yield _troubled(f"{shown}{each.name}", f"{shown}{each.name}: {why}")

    def listed(self, path: Path) -> Iterator[Source]:
        """What each line names; empty lines, and those that begin with #, are passed over."""
        try:
            text, _ = as_text(read_bytes(path), str(path))
        except TuneError as error:
            raise NoTunes(str(error)) from None
        for line in text.splitlines():
            name = line.strip()
            if name and not name.startswith("#"):
                yield from self.named(name, path.parent)

    def named(self, name: str, folder: Path) -> Iterator[Source]:
        """What a line of a list names: a file or folder, seen from the list's own, a bundled tune,
        or a file, a colon, and one of its tunes."""
        found = folder / name
        if found.is_dir():
            yield from self.folder(found, f"{name.rstrip('/')}/")
        elif found.is_file():
            yield from self.file(found, name)
        elif name in corpus.names():
            yield from self.file(corpus.path(name), name)
        elif ":" in name and (folder / name.rpartition(":")[0].strip()).is_file():
            file, _, choose = name.rpartition(":")
            yield from self.file(folder / file.strip(), file.strip(), choose.strip())
        else:
            why = "there is no such file, and no bundled tune is called so"
            yield _troubled(name, f"{name}: {why}; check the name")

    def file(self, path: Path, shown: str, choose: str | None = None) -> Iterator[Source]:
        """The tunes of a file; shown: what it is called."""
        wishes = None
        try:
            data = read_bytes(path)
            if self.conditions and (found := beside(str(path))) is not None:
                called = PurePath(shown).with_name(found.name)
                wishes = read_wishes(found, str(called), self.instrument)
            form = _SUFFIXES.get(path.suffix.lower()) or sniff(data)
            if form == "abc":
                self.notes += (f"{shown}: {notice}" for notice in as_text(data, shown)[1])
                for each in parted(data, shown, choose):
                    yield replace(each, wishes=wishes)
                return
        except TuneError as error:
            told = str(error.at(Place(shown)))
            yield _troubled(shown, told.replace(str(path), shown, 1))
            return
        except (ConditionError, FretboardError) as error:
            yield _troubled(shown, str(error))
            return
        name = plain_name(str(PurePath(shown).with_suffix("")), MOST_LETTERS)
        yield Source(name, _stem(shown), shown, shown, form, data, choose=choose, wishes=wishes)


def _troubled(shown: str, why: str) -> Source:
    name = plain_name(str(PurePath(shown).with_suffix("")), MOST_LETTERS)
    return Source(name, _stem(shown), shown, shown, trouble=why)


def _stem(shown: str) -> str:
    return PurePath(shown).stem or shown


def _in_order(name: str) -> tuple[tuple[tuple[bool, int, str], ...], str]:
    """Names as people sort them: 2 before 10, capitals among small letters."""
    parts = re.findall(r"[0-9]+|[^0-9]+", name.casefold())
    return tuple(
        (p[0] not in _DIGITS, 0 if p[0] not in _DIGITS else int(p), p) for p in parts
    ), name


def _named_apart(sources: Iterator[Source]) -> Iterator[Source]:
    """The same, names that were there before with a number behind."""
    taken: set[str] = set()
    for source in sources:
        name, number = source.name, 2
        while name in taken:
            name, number = f"{source.name}-{number}", number + 1
        taken.add(name)
        yield source if name == source.name else replace(source, name=name)
