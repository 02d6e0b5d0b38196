"""The lines of an ABC tune in order: header, fields in the body, music (ABC 2.1 §3).

``Body`` reads one tune's lines into a draft and the facts of its header. The first voice is read,
every other is named in a notice and left out.

Public: Header, Body.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from fractions import Fraction

from tune.errors import Place, TuneError
from tune.key import Key
from tune.readers.abc.bars import bar_numbers
from tune.readers.abc.draft import Draft, Spot, fail
from tune.readers.abc.fields import FREE_METRE, read_metre, read_tempo, read_unit, usual_unit
from tune.readers.abc.file import Line
from tune.readers.abc.key import KeyField, Shift, read_key, read_shift
from tune.readers.abc.music import Scribe
from tune.readers.abc.pitch import PROPAGATIONS, Ear
from tune.readers.abc.text import plain_text
from tune.readers.abc.tokens import Token, tokens
from tune.readers.abc.words import syllables, symbols
from tune.time import Metre, Tempo

_FIELD = re.compile(r"([A-Za-z]):(.*)")
_NOTE_FIELDS = frozenset("ABCDFG")
_TEXTS = frozenset("TCSOBZPR")


@dataclass
class Header:
    """What stands before the music; texts by field letter, in the file's order."""

    texts: dict[str, list[str]] = field(default_factory=dict)
    metre: Metre | None = None
    unit: Fraction | None = None
    key: KeyField | None = None
    tempo: tuple[str, int] | None = None
    propagation: str = "pitch"
    copyright: str = ""


class Body:
    """Reads the lines of one tune; ``draft`` and ``header`` are ready after ``read``."""

    def __init__(self) -> None:
        self.header = Header()
        self.tempo: Tempo | None = None
        self.shift = Shift()
        self.symbols: dict[str, str] = {}
        self._remarks: list[str] = []
        self._voice: str | None = None
        self._active = True
        self._scribe: Scribe | None = None
        self._open_line: Token | None = None
        self._ended = False

    def read(self, defaults: tuple[Line, ...], lines: tuple[Line, ...]) -> Draft:
        """The draft of the tune; TuneErrors carry line and, where known, column."""
        try:
            for line in defaults:
                self._head(line)
            position = self._read_head(lines)
            scribe = self._begin()
            for line in lines[position:]:
                self._body_line(scribe, line)
            self._ended = True
            return scribe.finish()
        except TuneError as error:
            raise self._with_bar(error) from None

    def _with_bar(self, error: TuneError) -> TuneError:
        """The error with the number of the bar that is being written, as far as it is sure.

        In the first bar it is not: whether that is a pickup shows only at its end.
        """
        scribe = self._scribe
        if scribe is None or not scribe.draft.bars:
            return error
        within = scribe.bar.started or not self._ended
        return error.at(Place(bar=bar_numbers(scribe.draft.bars)[-1] + within))

    # -- header ----------------------------------------------------------------------------

    def _read_head(self, lines: tuple[Line, ...]) -> int:
        """Read the header and give the index of the first line of the body."""
        for position, line in enumerate(lines):
            match = _FIELD.match(line.text)
            if line.text.startswith("%%") or (match and not _is_music(line.text)):
                self._head(line)
                if match and match[1] == "K":
                    return position + 1
            else:
                self._remarks.append("the tune has no K: line; its key is taken as C major")
                return position
        return len(lines)

    def _head(self, line: Line) -> None:
        match = _FIELD.match(line.text)
        if line.text.startswith("%%"):
            self._directive(line.text[2:])
            return
        if match is None:
            return
        letter, text = match[1], match[2].strip()
        header = self.header
        with _on_line(line.number):
            if letter == "M":
                header.metre = read_metre(text)
            elif letter == "L":
                header.unit = read_unit(text)
            elif letter == "Q":
                header.tempo = (text, line.number)
            elif letter == "K":
                header.key = read_key(text) or header.key
                self.shift = read_shift(text)[0] or self.shift
            elif letter == "V":
                self._declare_voice(text)
            elif letter in "IUm":
                self._instruction(letter, text)
            elif letter in _TEXTS and text:
                header.texts.setdefault(letter, []).append(plain_text(text))

    def _directive(self, text: str) -> None:
        name, _, value = text.strip().partition(" ")
        if name == "propagate-accidentals":
            self.header.propagation = value.strip()
            if value.strip() not in PROPAGATIONS:
                raise TuneError("propagate-accidentals takes pitch, octave or not")
            if self._scribe:
                self._scribe.ear.propagation = value.strip()
        elif name == "abc-copyright":
            self.header.copyright = plain_text(value)

    def _instruction(self, letter: str, text: str) -> None:
        """``I:`` is a directive, ``U:`` gives a letter a meaning, ``m:`` would be a macro."""
        if letter == "m":
            raise TuneError("macros (m:) are not read; write the notes out")
        if letter == "I":
            self._directive(text)
            return
        match = re.fullmatch(r"([~.H-Wh-w])\s*=\s*(!\S+!|\"[^\"]*\")", text)
        if match is None:
            raise TuneError(f"U:{text} cannot be read; write it like U:T=!trill!")
        meaning = match[2] if match[2][0] == '"' else match[2][1:-1]
        self.symbols[match[1]] = meaning
        if self._scribe:
            self._scribe.signs.shorthands[match[1]] = meaning

    def _begin(self) -> Scribe:
        header = self.header
        metre = header.metre or FREE_METRE
        unit = header.unit if header.unit is not None else usual_unit(header.metre)
        key = header.key or KeyField(Key(), {})
        ear = Ear(key.signature)
        ear.propagation, ear.octaves = header.propagation, self.shift.octaves
        scribe = Scribe(metre, key.key, unit, ear, header.metre is None)
        scribe.signs.shorthands.update(self.symbols)
        self._scribe = scribe
        if header.metre is None:
            self._remarks.append("no metre is given; the bars are counted in 4/4 as they come")
        for remark in (*self._remarks, key.remark):
            if remark:
                scribe.draft.tell(None, remark)
        if header.tempo:
            with _on_line(header.tempo[1]):
                self.tempo = self._read_tempo(scribe, header.tempo[0])
        return scribe

    def _read_tempo(self, scribe: Scribe, text: str) -> Tempo | None:
        read = read_tempo(text, scribe.unit)
        if read.tempo is None:
            scribe.draft.tell(None, f"the tempo “{read.words}” has no number and is not kept")
        return read.tempo

    # -- body ------------------------------------------------------------------------------

    def _body_line(self, scribe: Scribe, line: Line) -> None:
        match = _FIELD.match(line.text)
        if line.text.startswith("%%"):
            with _on_line(line.number):
                self._directive(line.text[2:])
        elif match and not _is_music(line.text):
            with _on_line(line.number):
                text = match[2].strip()
                self._field(scribe, match[1], text, Spot(line.number, 3 + match[2].find(text)))
        else:
            with _on_line(line.number):
                self._music(scribe, line)

    def _music(self, scribe: Scribe, line: Line) -> None:
        stack: list[Token] | None = None
        opened = Spot(line.number, 1)
        before, self._open_line = self._open_line, None
        for token in tokens(line.text):
            spot = Spot(line.number, token.column)
            adjacent = before is not None and (
                before.column + len(before.text) == token.column or token.column == 1
            )
            if token.kind == "field":
                letter, _, text = token.text[1:-1].partition(":")
                self._field(scribe, letter, text.strip(), spot)
            elif not self._active:
                pass
            elif stack is not None:
                if token.kind == "chord_end":
                    scribe.stack(stack, token.text[1:], opened)
                    stack = None
                else:
                    stack.append(token)
            elif token.kind == "chord":
                stack, opened = [], spot
            elif token.kind == "chord_end":
                fail("the bracket ] closes nothing; a chord is written [CEG]", spot)
            elif token.kind == "number" and not (before and before.kind == "bar" and adjacent):
                fail(
                    f"the number {token.text} stands alone; a length follows its note, and an "
                    "ending is written |1 or [1",
                    spot,
                )
            else:
                scribe.take(token, line.number)
            if token.kind == "continue":  # a bar line and the number of its ending may be parted
                self._open_line = before
            before = token
        if stack is not None:
            fail("the bracket [ is not closed on its line; a chord is written [CEG]", opened)

    def _field(self, scribe: Scribe, letter: str, text: str, spot: Spot) -> None:
        if letter == "V":
            self._switch_voice(scribe, text)
        elif not self._active:
            return
        elif letter == "M":
            self._change_metre(scribe, text)
        elif letter == "L":
            scribe.unit = read_unit(text)
        elif letter == "K":
            self._change_key(scribe, text)
        elif letter == "Q":
            self._change_tempo(scribe, text)
        elif letter in "PT" and text:
            scribe.begin_section(plain_text(text))
        elif letter == "w":
            self._lyrics(scribe, text, spot)
        elif letter == "s":
            self._symbol_line(scribe, text, spot)
        elif letter in "IUm":
            self._instruction(letter, text)
        elif letter == "W":
            scribe.draft.tell(None, "the words in W: lines below the tune are not kept", "W")
        elif letter == "X":
            raise TuneError("an X: line stands inside a tune; put an empty line before it")

    def _change_metre(self, scribe: Scribe, text: str) -> None:
        metre = read_metre(text)
        if scribe.bar.started:
            scribe.draft.tell(
                scribe.index, f"the metre {text} inside a bar counts for the whole bar"
            )
        scribe.bar.metre = metre or FREE_METRE
        scribe.bar.free = metre is None

    def _change_key(self, scribe: Scribe, text: str) -> None:
        read = read_key(text)
        shift = read_shift(text)[0]
        if shift is not None:
            scribe.ear.octaves = shift.octaves
            if shift.semitones != self.shift.semitones:
                scribe.draft.tell(scribe.index, "a change of transpose= inside a tune is ignored")
        if read is None:
            return
        scribe.ear.new_signature(read.signature)
        scribe.change_key(read.key)
        if read.remark:
            scribe.draft.tell(scribe.index, read.remark)

    def _change_tempo(self, scribe: Scribe, text: str) -> None:
        tempo = self._read_tempo(scribe, text)
        if tempo is None:
            return
        if scribe.bar.started:
            scribe.draft.tell(scribe.index, "a tempo inside a bar counts for the whole bar")
        if self.tempo is None and not scribe.index:
            self.tempo = tempo
        else:
            scribe.bar.tempo = tempo

    def _lyrics(self, scribe: Scribe, text: str, spot: Spot) -> None:
        dealt, over = scribe.words.deal(syllables(text))
        verse = scribe.words.verse
        for event, _, piece in dealt:
            event.lyrics.extend([""] * (verse + 1 - len(event.lyrics)))
            event.lyrics[verse] = piece.text
        if over:
            scribe.draft.tell(
                max(0, scribe.index - 1),
                f"{len(over)} syllable{'s' * (len(over) != 1)} too many in verse {verse + 1}, "
                f"which has no note left for {over[0].text!r} (line {spot.line})",
            )

    def _symbol_line(self, scribe: Scribe, text: str, spot: Spot) -> None:
        dealt, over = scribe.symbols.deal(symbols(text))
        for event, bar, piece in dealt:
            if piece.text[0] != '"' or piece.text[1:2] in ("^", "_", "<", ">", "@"):
                scribe.signs.under(piece.text, event.marks, bar)
            elif event.chord is not None:
                raise TuneError(f"the chord {piece.text} stands over a note that has one already")
            else:
                event.chord = piece.text[1:-1].strip()
                event.chord_spot = Spot(spot.line, spot.column + piece.column)
        if over:
            raise TuneError(f"{len(over)} symbols in the s: line have no note left")

    # -- voices ----------------------------------------------------------------------------

    def _declare_voice(self, text: str) -> None:
        name = text.split()[0] if text.split() else ""
        if self._voice is None and name:
            self._voice = name
        if name == self._voice:
            self.shift = read_shift(text.partition(name)[2])[0] or self.shift

    def _switch_voice(self, scribe: Scribe, text: str) -> None:
        name = text.split()[0] if text.split() else ""
        if self._voice is None and (scribe.index or scribe.bar.started):
            self._voice = ""  # music before any V: is the first voice
        if self._voice is None:
            self._declare_voice(text)
            scribe.ear.octaves = self.shift.octaves
        self._active = name == self._voice
        if not self._active:
            scribe.draft.tell(None, f"voice {name} is left out; the first voice is read")


def _is_music(text: str) -> bool:
    """Whether a line like ``G:|`` only looks like a field: a note before a repeat sign."""
    return text[0] in _NOTE_FIELDS and text[2:3] in ("|", ":", "]")


@contextmanager
def _on_line(number: int) -> Iterator[None]:
    """Gives the TuneErrors of a block the number of the line."""
    try:
        yield
    except TuneError as error:
        raise error.at(Place(line=number)) from None
