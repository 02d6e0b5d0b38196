"""ABC's lines under the music: ``w:`` lyrics and ``s:`` symbols (ABC 2.1 §4.15 and §5).

A line is dealt out to the notes since the last such line: one piece a note, not to rests and
grace notes; tied notes count singly. Lines straight after each other are verses (or stacked
symbols) and start at the same note.

Public: Aligner, Piece, syllables, symbols.
"""

import re
from dataclasses import dataclass, field

from tune.readers.abc.draft import Event
from tune.readers.abc.text import plain_text

_SYMBOL = re.compile(r'"[^"]*"|![^!\s]*!|\*|\||[~.H-Wh-w]|\S')


@dataclass(frozen=True)
class Piece:
    """One piece of a line: ``text`` for a note, ``*`` a note without, ``|`` on to the next bar."""

    kind: str
    text: str = ""
    column: int = 0


def syllables(text: str) -> tuple[Piece, ...]:
    """The pieces of a ``w:`` line; a syllable that goes on ends in ``-``, held notes get none."""
    line = plain_text(text).replace(r"\-", "\0")
    pieces: list[Piece] = []
    word, last = "", -1

    def finish(mark: str = "") -> None:
        nonlocal word, last
        if word:
            last = len(pieces)
            pieces.append(Piece("text", word.replace("\0", "-") + mark))
        word = ""

    for sign in line:
        if sign == "-":
            if word:
                finish("-")
                continue
            if last >= 0 and not pieces[last].text.endswith("-"):
                pieces[last] = Piece("text", pieces[last].text + "-")
            pieces.append(Piece("*"))
        elif sign in "_*|":
            finish()
            pieces.append(Piece("|" if sign == "|" else "*"))
        elif sign.isspace():
            finish()
        else:
            word += " " if sign == "~" else sign
    finish()
    return tuple(pieces)


def symbols(text: str) -> tuple[Piece, ...]:
    """The pieces of an ``s:`` line, with their columns in ``text`` from 1."""
    return tuple(
        Piece(m.group() if m.group() in "*|" else "text", m.group(), m.start() + 1)
        for m in _SYMBOL.finditer(text)
    )


@dataclass
class Aligner:
    """Deals lines out to notes; give it every note with the index of its bar."""

    _waiting: list[tuple[Event, int]] = field(default_factory=list)
    _group: list[tuple[Event, int]] | None = None
    verse: int = -1

    def add(self, event: Event, bar: int) -> None:
        """A note that lines to come may be under."""
        self._waiting.append((event, bar))
        self._group = None

    def deal(self, pieces: tuple[Piece, ...]) -> tuple[list[tuple[Event, int, Piece]], list[Piece]]:
        """Which piece stands under which note of which bar, and those that were too many."""
        if self._group is None:
            self._group, self._waiting, self.verse = self._waiting, [], 0
        else:
            self.verse += 1
        group = self._group
        dealt: list[tuple[Event, int, Piece]] = []
        over: list[Piece] = []
        at = 0
        bar = group[0][1] if group else 0
        for piece in pieces:
            if piece.kind == "|":
                bar += 1
                while at < len(group) and group[at][1] < bar:
                    at += 1
            elif at >= len(group):
                over += [piece] if piece.kind == "text" else []
            else:
                if piece.kind == "text":
                    dealt.append((*group[at], piece))
                at += 1
        return dealt, over
