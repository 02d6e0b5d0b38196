"""The music lines of ABC: tokens become events in bars (ABC 2.1 §4).

``Scribe`` is fed token after token by ``body`` and keeps what lasts from one to the next:
the unit length, the open tuplet, a broken rhythm that waits for its second note, signs that wait
for the note they stand before. A chord symbol waits likewise, so that one written just before a
bar line belongs to the first note after it.

Public: Scribe.
"""

import re
from fractions import Fraction

from tune.errors import Place, TuneError
from tune.key import Key
from tune.readers.abc.draft import Draft, DraftBar, Event, Spot, fail
from tune.readers.abc.pitch import Ear, Pitch
from tune.readers.abc.signs import Signs
from tune.readers.abc.tokens import NOTE, Token, length_of, read_bar_line
from tune.readers.abc.words import Aligner
from tune.time import Metre

_MOST_BARS = 4096
_MOST_EVENTS = 4096


class Scribe:
    """Writes the draft of one voice; ``unit`` is the unit note length in quarters."""

    def __init__(self, metre: Metre, key: Key, unit: Fraction, ear: Ear, free: bool) -> None:
        self.draft = Draft()
        self.bar = DraftBar(metre, key, free)
        self.unit = unit
        self.ear = ear
        self.signs = Signs(self.draft)
        self.words = Aligner()
        self.symbols = Aligner()
        self._tuplet: tuple[int, int] | None = None
        self._tuplet_left = 0
        self._tuplet_spot = Spot(0, 0)
        self._broken = 0
        self._broken_spot = Spot(0, 0)
        self._last: Event | None = None
        self._tied: Pitch | None = None
        self._last_pitch: Pitch | None = None
        self._repeat_from = 0
        self._open_repeat = False
        self._in_overlay = False
        self._section = ""
        self._key: Key | None = None

    # -- what body calls ---------------------------------------------------------------

    @property
    def index(self) -> int:
        """The index that the bar being written will have."""
        return len(self.draft.bars)

    def take(self, token: Token, line: int) -> None:
        """Write one token; fields are not for this class."""
        spot = Spot(line, token.column)
        if self._in_overlay and token.kind != "bar":
            return
        if token.kind in ("quoted", "mark", "letter"):
            getattr(self.signs, token.kind)(token.text, spot)
        else:
            getattr(self, f"_take_{token.kind}")(token.text, spot)

    def finish(self) -> Draft:
        """Close the last bar and give the draft; TuneError for what is left hanging."""
        self._expect_whole_groups(None)
        self._close_bar()
        self.signs.end_tune()
        if self.bar.events and self.draft.bars:  # grace notes after the last note
            self.draft.bars[-1].events.extend(self.bar.events)
        return self.draft

    def begin_section(self, name: str) -> None:
        """A part begins with the bar that is next to be written."""
        if self.bar.started:
            self._section = name
        else:
            self.bar.section = name

    def change_key(self, key: Key) -> None:
        """Name the key of this bar, or of the next when notes stand in this one already."""
        if self.bar.started:
            self._key = key
        else:
            self.bar.key = key

    # -- notes and rests -------------------------------------------------------------------

    def _add(self, event: Event, pitch: Pitch | None) -> None:
        """Put a note, chord or rest into the bar, shaped by tuplet and broken rhythm."""
        if self.bar.whole_rest:
            fail("a bar that Z rests through can hold no notes; put a bar line", event.spot)
        if self._broken:
            part = Fraction(1, 2 ** abs(self._broken))
            event.length *= part if self._broken > 0 else 2 - part
            self._broken = 0
        if self._tuplet_left and self._tuplet:
            actual, normal = self._tuplet
            event.length *= Fraction(normal, actual)
            event.tuplet = self._tuplet
            self._tuplet_left -= 1
        self.signs.give(event)
        self._put(event)
        self.bar.started = True
        self._last, self._last_pitch, self._tied = event, pitch, None
        if event.midi is not None:
            self.words.add(event, self.index)
            self.symbols.add(event, self.index)

    def _put(self, event: Event) -> None:
        if len(self.bar.events) >= _MOST_EVENTS:
            fail(f"the bar has more than {_MOST_EVENTS} notes; a bar line is missing", event.spot)
        self.bar.events.append(event)

    def _pitch(self, match: re.Match[str], spot: Spot, tied: Pitch | None) -> Pitch:
        try:
            return self.ear.hear(match[1] or "", match[2], match[3], tied)
        except TuneError as error:
            raise error.at(Place(line=spot.line, column=spot.column)) from None

    def _length(self, text: str, spot: Spot) -> Fraction:
        try:
            return self.unit * length_of(text)
        except TuneError as error:
            raise error.at(Place(line=spot.line, column=spot.column)) from None

    def _take_note(self, text: str, spot: Spot) -> None:
        match = NOTE.fullmatch(text)
        assert match is not None  # the token's own pattern
        pitch = self._pitch(match, spot, self._tied)
        self._add(Event(spot, self._length(match[4], spot), pitch.midi, pitch.name), pitch)

    def _take_rest(self, text: str, spot: Spot) -> None:
        self._add(Event(spot, self._length(text[1:], spot)), None)

    def stack(self, inside: list[Token], length: str, spot: Spot) -> None:
        """Notes struck together: the highest is kept as the melody (ABC 2.1 §4.17).

        Their common length is the first one's times ``length``; spot is where the bracket opens.
        """
        top: Pitch | None = None
        first = ""
        marks: list[str] = []
        tied = False
        for token in inside:
            here = Spot(spot.line, token.column)
            if token.kind == "note":
                match = NOTE.fullmatch(token.text)
                assert match is not None
                pitch = self._pitch(match, here, self._tied)
                first = match[4] if top is None else first
                if top is None or pitch.midi > top.midi:
                    top = pitch
            elif token.kind in ("mark", "letter"):
                self.signs.under(token.text, marks, self.index)
            elif token.kind == "quoted":
                self.signs.quoted(token.text, here)
            elif token.kind == "tie":
                tied = True
            elif token.kind not in ("space", "slur"):
                fail(f"{token.text!r} cannot stand among notes struck together", here)
        if top is None:
            fail("these square brackets hold no note", spot)
        if sum(token.kind == "note" for token in inside) > 1:
            self.draft.tell(
                self.index, "of notes struck together only the highest is kept", "stack"
            )
        whole = self._length(first, spot) * self._length(length, spot) / self.unit
        self._add(Event(spot, whole, top.midi, top.name, marks=marks), top)
        if tied:
            self._take_tie("-", spot)

    def _take_grace(self, text: str, spot: Spot) -> None:
        inside = re.sub(r"![^!]*!", "", text[1:-1])
        if '"' in inside:
            fail("a chord or words cannot stand among grace notes; write them before", spot)
        for match in NOTE.finditer(inside):
            pitch = self._pitch(match, spot, None)
            self._put(Event(spot, Fraction(0), pitch.midi, pitch.name, grace=True))
        if not NOTE.search(inside):
            fail("these grace notes hold no note", spot)

    def _take_bars_rest(self, text: str, spot: Spot) -> None:
        count = int(text[1:] or 1)
        if count == 0 or count + len(self.draft.bars) > _MOST_BARS:
            fail(f"{text} rests for {count} bars; write Z1 to Z{_MOST_BARS}", spot)
        if self.bar.started or self.bar.whole_rest:
            fail(f"{text} rests for whole bars, so a bar line must stand before it", spot)
        for left in range(count, 0, -1):
            self._add(Event(spot, self.bar.full), None)
            self.bar.whole_rest = True
            if left > 1:
                self._close_bar()

    # -- rhythm ----------------------------------------------------------------------------

    def _take_tuplet(self, text: str, spot: Spot) -> None:
        numbers = [int(part) if part else None for part in text[1:].split(":")]
        actual, normal, notes = (*numbers, None, None)[:3]
        usual = {2: 3, 3: 2, 4: 3, 6: 2, 8: 3}.get(actual or 0, 3 if self.bar.metre.compound else 2)
        normal = usual if normal is None else normal
        notes = actual if notes is None else notes
        if not actual or not normal or not notes or not 2 <= actual <= 32:
            fail(f"the tuplet {text} cannot be read; write it like (3 or (3:2:3", spot)
        if self._tuplet_left:
            fail(f"the tuplet {text} begins inside another one", spot)
        self._tuplet, self._tuplet_left, self._tuplet_spot = (actual, normal), notes, spot

    def _take_broken(self, text: str, spot: Spot) -> None:
        if self._broken or self._last is None or len(text) > 3:
            fail(f"the broken rhythm sign {text} needs one note before and one after", spot)
        part = Fraction(1, 2 ** len(text))
        self._last.length *= 2 - part if text[0] == ">" else part
        self._broken = len(text) if text[0] == ">" else -len(text)
        self._broken_spot = spot

    def _take_tie(self, text: str, spot: Spot) -> None:
        if self._last is not None and self._last.midi is not None:
            self._last.tied = True
            self._tied = self._last_pitch

    def _expect_whole_groups(self, spot: Spot | None) -> None:
        if self._tuplet_left:
            fail(
                f"the tuplet needs {self._tuplet_left} more notes before the bar ends",
                self._tuplet_spot,
            )
        if self._broken and spot is None:
            fail("the broken rhythm sign needs a note after it", self._broken_spot)

    # -- bars ------------------------------------------------------------------------------

    def _close_bar(self) -> None:
        """Put the bar being written away if it has any length, and begin the next."""
        old = self.bar
        self.ear.new_bar()
        if not old.started:
            return
        if len(self.draft.bars) >= _MOST_BARS:
            spot = old.events[0].spot
            fail(f"the tune has more than {_MOST_BARS} bars", spot)
        self.draft.bars.append(old)
        key = self._key or old.key
        self.bar = DraftBar(old.metre, key, old.free, section=self._section, endings=old.endings)
        self._section, self._key = "", None

    def _take_bar(self, text: str, spot: Spot) -> None:
        self._in_overlay = False
        self._expect_whole_groups(spot)
        self.signs.end_bar()
        line = read_bar_line(text)
        if text == ":":
            self.draft.tell(self.index, "a single : is read as a bar line", "colon")
        self._close_bar()
        self.bar.left_sign = self.bar.left_sign or line.sign
        if line.sign and self.draft.bars:
            self.draft.bars[-1].right_sign = True
            if not self.bar.started:
                self.bar.endings = ()
        if line.ends > 1:
            self._end_repeat(line.ends)
        elif line.double and not self._open_repeat:
            self._repeat_from = self.index
        if line.starts:
            self.bar.repeat_start = True
            self._open_repeat = True

    def _end_repeat(self, times: int) -> None:
        """A repeat without start goes back to the last double bar (ABC 2.1 §4.8)."""
        bars = self.draft.bars
        if not bars:
            self.draft.tell(None, "a repeat sign before the first note is ignored", "early")
            return
        bars[-1].repeat_times = max(bars[-1].repeat_times, times)
        first = bars[self._repeat_from] if 0 < self._repeat_from < len(bars) else None
        if first and not self._open_repeat and not first.endings:
            first.repeat_start = True
        self._open_repeat = False
        self._repeat_from = len(bars)

    def _take_ending(self, text: str, spot: Spot) -> None:
        self._take_number(text[1:], spot)

    def _take_number(self, text: str, spot: Spot) -> None:
        """The numbers of an ending, ``1``, ``1,3`` or ``1-3``; they begin a bar."""
        numbers: list[int] = []
        for part in text.rstrip(",.-").split(","):
            first, dash, last = part.partition("-")
            try:
                bounds = int(first), int(last if dash else first)
            except ValueError:
                bounds = 0, 0
            if not 1 <= bounds[0] <= bounds[1] <= 64:
                fail(f"the ending {text!r} cannot be read; write it like [1 or [1,3", spot)
            numbers.extend(range(bounds[0], bounds[1] + 1))
        if self.bar.started:
            self.bar.right_sign = True
            self._close_bar()
        self.bar.endings = tuple(sorted(set(numbers)))
        self.bar.left_sign = True
        if self.draft.bars:
            self.draft.bars[-1].right_sign = True

    # -- signs without sound ---------------------------------------------------------------

    def _take_overlay(self, text: str, spot: Spot) -> None:
        self._in_overlay = True
        self.draft.tell(self.index, "a second voice written with & is ignored", "overlay")

    def _take_slur(self, text: str, spot: Spot) -> None:
        self.draft.tell(self.index, "slurs ignored", "slur")

    def _take_reserved(self, text: str, spot: Spot) -> None:
        if text not in ("$", "!"):
            self.draft.tell(self.index, f"the sign {text} has no meaning and is ignored")

    def _take_space(self, text: str, spot: Spot) -> None:
        pass

    _take_spacer = _take_space
    _take_continue = _take_space
