"""An ABC file as a row of tunes, and the choice of one (ABC 2.1 §2.2).

A tune begins with ``X:`` and ends at an empty line or at the next ``X:``. What stands before the
first tune is the file's header, whose fields hold for all of them. A file without any ``X:`` but
with a ``K:`` is taken as one tune, because people do cut the first line off.

Public: Line, TuneText, AbcFile, split_file, chosen_tune.
"""

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import NoReturn

from tune.errors import Place, TuneError, UnchosenTuneError
from tune.readers.abc.text import plain_text, without_comment

_NEWLINE = re.compile(r"\r\n|\r|\n")
_FIELD = re.compile(r"[A-Za-z]:")
_MUSIC = re.compile(r"[A-Ga-gzx][,'0-9/]*\s*[A-Ga-gzx|:]")
_LISTED = 5
_MOST_LETTERS = 20_000
_MOST_LINES = 400_000


@dataclass(frozen=True)
class Line:
    """One line: its number in the file, from 1, and its text without comment.

    Directives (``%%…``) keep their two signs.
    """

    number: int
    text: str


@dataclass(frozen=True)
class TuneText:
    """The lines of one tune; ``lost`` are lines after its end that look like music."""

    number: str
    titles: tuple[str, ...]
    lines: tuple[Line, ...]
    lost: tuple[int, ...] = ()

    @property
    def title(self) -> str:
        return self.titles[0] if self.titles else f"Tune {self.number}".strip()


@dataclass(frozen=True)
class AbcFile:
    """The file's own header and its tunes."""

    header: tuple[Line, ...]
    tunes: tuple[TuneText, ...]


def _lines(text: str) -> list[Line]:
    """All lines, comments off, ``+:`` joined to the field before it, ``%%begin…`` blocks left out.

    A line that was only a comment is left out too: it does not end a tune as an empty line does.
    """
    lines: list[Line] = []
    block = ""
    for number, raw in enumerate(_NEWLINE.split(text.removeprefix("\ufeff")), start=1):
        if block:
            block = "" if raw.startswith(f"%%end{block}") else block
            continue
        if raw.startswith("%%"):
            begin = re.match(r"%%begin([a-z]+)", raw)
            block = begin.group(1) if begin else ""
            if not begin:
                lines.append(Line(number, raw.rstrip()))
            continue
        if len(raw) > _MOST_LETTERS or number > _MOST_LINES:
            _refuse(number)
        kept = without_comment(raw)
        if raw.strip() and not kept.strip():
            continue
        last = lines[-1] if lines else None
        if kept.startswith("+:") and last and re.match(r"[A-Za-z]:", last.text):
            joined = f"{last.text} {kept[2:].strip()}"
            if len(joined) > _MOST_LETTERS:
                _refuse(number)
            lines[-1] = Line(last.number, joined)
        else:
            lines.append(Line(number, kept))
    return lines


def _refuse(number: int) -> NoReturn:
    """No tune has lines like that; reading on would only take very long."""
    message = (
        f"there are more than {_MOST_LINES} lines; is it a tune?"
        if number > _MOST_LINES
        else f"the line is longer than {_MOST_LETTERS} letters; break it in several"
    )
    raise TuneError(message, Place(line=number))


def _titles(lines: list[Line]) -> tuple[str, ...]:
    titles = []
    for line in lines:
        if line.text.startswith("K:"):
            break
        if line.text.startswith("T:"):
            titles.append(plain_text(line.text[2:]))
    return tuple(title for title in titles if title)


def _tune(number: str, lines: list[Line]) -> TuneText:
    end = next((i for i, line in enumerate(lines) if not line.text.strip()), len(lines))
    lost = (
        line.number
        for line in lines[end:]
        if not _FIELD.match(line.text) and "|" in line.text and _MUSIC.search(line.text)
    )
    return TuneText(number, _titles(lines[:end]), tuple(lines[:end]), tuple(lost))


def split_file(text: str) -> AbcFile:
    """The file's header and tunes; TuneError when there is no tune in it."""
    lines = _lines(text)
    if not any(line.text.strip() for line in lines):
        raise TuneError("the file is empty; an ABC tune begins with a line X:1")
    starts = [i for i, line in enumerate(lines) if line.text.startswith("X:")]
    if not starts:
        if not any(line.text.startswith("K:") for line in lines):
            raise TuneError("this is no ABC tune; it needs at least the lines X:1, T: and K:")
        while not lines[0].text.strip():
            lines.pop(0)
        return AbcFile((), (_tune("", lines),))
    head = lines[: starts[0]]
    end = next((i for i, line in enumerate(head) if not line.text.strip()), len(head))
    bounds = [*starts, len(lines)]
    tunes = []
    for start, stop in pairwise(bounds):
        tunes.append(_tune(lines[start].text[2:].strip(), lines[start:stop]))
    return AbcFile(tuple(head[:end]), tuple(tunes))


def _list(tunes: tuple[TuneText, ...]) -> str:
    names = [f"{tune.number} {tune.title}" for tune in tunes[:_LISTED]]
    return ", ".join(names) + (", …" if len(tunes) > _LISTED else "")


def chosen_tune(tunes: tuple[TuneText, ...], choose: str | None, file: str = "") -> TuneText:
    """The tune whose X: number or title ``choose`` names, or the only one there is.

    A number must be the whole number; a title may be a part that no other tune has, in any case.
    """
    place = Place(file)
    if choose is None or not choose.strip():
        if len(tunes) == 1:
            return tunes[0]
        raise UnchosenTuneError(
            f"the file holds {len(tunes)} tunes; choose one by its number or title: {_list(tunes)}",
            place,
        )
    wanted = choose.strip().casefold()
    same_number = tuple(tune for tune in tunes if tune.number.casefold() == wanted)
    exact = tuple(t for t in tunes if wanted in (title.casefold() for title in t.titles))
    part = tuple(t for t in tunes if any(wanted in title.casefold() for title in t.titles))
    for found in (same_number, exact, part):
        if len(found) == 1:
            return found[0]
        if found:
            raise UnchosenTuneError(
                f"{choose.strip()!r} fits {len(found)} tunes; choose one of: {_list(found)}", place
            )
    raise UnchosenTuneError(
        f"no tune is numbered or titled {choose.strip()!r}; there are: {_list(tunes)}", place
    )
