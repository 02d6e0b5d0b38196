"""What the text tab says of one bar: which words and signs stand in which row, at which tick.

Ticks count from the bar's start. A bar too wide for the page becomes several pieces.

Public: Mark, Piece, Reading, Strings, whole_bar, split, crosses, parts_of, line, fingers,
tempo_at, tempo_words, and the rows HEADING, NUMBER, CHORD, BEAT, BASS.
"""

from dataclasses import dataclass, replace
from functools import cached_property

from solver.result import Arrangement
from tune.chord import Chord
from tune.time import QUARTER, Metre, Tempo
from tune.tune import Bar, Tune
from undersong.sheet.folding import SheetBar
from undersong.sheet.hands import Sight
from undersong.sheet.options import SheetOptions
from undersong.sheet.text_signs import ASCII, DRAWN, ROLE_SIGNS, Signs, ordinal, plain

HEADING, NUMBER, CHORD, BEAT, BASS = "heading", "number", "chord", "beat", "bass"
"""Rows, besides one line (``line 0`` is the bass string's) and one row of fingers a string."""


Strings = tuple[bool, ...]
"""Yes or no for each string, bass first."""


@dataclass(frozen=True)
class Mark:
    """Words or a sign in a row, beginning at the tick's column."""

    row: str
    tick: int
    text: str


@dataclass(frozen=True)
class Piece:
    """A bar, or part of one, before it has columns.

    start, end: ticks; beat: ticks of one beat; marks: in order of ticks; sounding: (tick, whether
    each string sounds from there on, bass first); entering: which strings sound as it begins;
    opens, closes: repeat signs at its edges; ends: a bar line follows; last: the page ends here.
    """

    start: int
    end: int
    beat: int
    marks: tuple[Mark, ...]
    sounding: tuple[tuple[int, Strings], ...]
    entering: Strings
    opens: bool
    closes: bool
    ends: bool = True
    last: bool = False

    @property
    def bar_lines(self) -> int:
        """How many bar lines stand at its end where no bar follows on the line."""
        if not self.ends:
            return 0
        return 2 if self.last and not self.closes else 1

    @property
    def leaving(self) -> Strings:
        """Which strings sound as it ends."""
        return self.sounding[-1][1] if self.sounding else self.entering

    @cached_property
    def ticks(self) -> tuple[int, ...]:
        """Every tick that has a column."""
        return tuple(sorted({mark.tick for mark in self.marks} | {t for t, _ in self.sounding}))


@dataclass(frozen=True)
class Reading:
    """An arrangement and how it is printed."""

    arrangement: Arrangement
    options: SheetOptions

    @property
    def courses(self) -> list[int]:
        """The strings that have a line, as they stand on the page: of a bass part its own."""
        count = len(self.arrangement.instrument.courses)
        shown = [0] if self.arrangement.style.texture == "bass" else list(range(count))
        return shown if self.options.bass_on_top else shown[::-1]

    @cached_property
    def stopped(self) -> list[int]:
        """Those of them that have a row of fingers: of a drone's, those that are ever stopped."""
        if self.arrangement.style.texture != "drone":
            return self.courses
        used = [choice.grip.fingers for choice in self.arrangement.choices]
        return [course for course in self.courses if any(f[course] >= 0 for f in used)]

    @property
    def signs(self) -> Signs:
        return DRAWN if self.options.unicode else ASCII

    def bar(self, bar: SheetBar) -> Bar:
        return self.arrangement.tune.bars[bar.written]

    def fret(self, fret: int) -> str:
        return self.arrangement.instrument.label(fret, self.options.from_capo)


def line(course: int) -> str:
    """The row of a string's line."""
    return f"line {course}"


def fingers(course: int) -> str:
    """The row of a string's fingers."""
    return f"fingers {course}"


def whole_bar(
    reading: Reading, bar: SheetBar, before: Bar | None, carried: Strings, parts: bool
) -> Piece:
    """The bar in one piece.

    before: the written bar printed before it; carried: the strings that sound on from there;
    parts: the parts of each beat are marked even where nothing happens.
    """
    written = reading.bar(bar)
    marks = [
        *_heading(reading, bar, before),
        *_number(bar, written),
        *_chords(reading, written),
        *_strings(reading, bar),
    ]
    marks += _beats(bar, written, {0, *(mark.tick for mark in marks)}, parts)
    courses = range(len(carried))
    first = bar.seen[0]
    return Piece(
        start=0,
        end=written.length,
        beat=written.metre.beat,
        marks=tuple(sorted(marks, key=lambda mark: mark.tick)),
        sounding=tuple((s.offset, tuple(s.sounds(c) for c in courses)) for s in bar.seen),
        entering=tuple(carried[c] or first.rings(c) or first.lets_go(c, None) for c in courses),
        opens=bar.opens,
        closes=bar.closes,
    )


def split(piece: Piece) -> tuple[Piece, Piece] | None:
    """The piece in two, near its middle, on a beat if it can be; None for a single column."""
    inner = [tick for tick in piece.ticks if tick > piece.start]
    if not inner:
        return None
    beats = [m.tick for m in piece.marks if m.row == BEAT and m.text.isdigit() and m.tick in inner]
    middle = (piece.start + piece.end) // 2
    cut = min(beats or inner, key=lambda tick: abs(tick - middle))
    first = replace(
        piece,
        end=cut,
        marks=tuple(m for m in piece.marks if m.tick < cut),
        sounding=tuple(s for s in piece.sounding if s[0] < cut),
        closes=False,
        ends=False,
        last=False,
    )
    second = replace(
        piece,
        start=cut,
        marks=tuple(m for m in piece.marks if m.tick >= cut),
        sounding=tuple(s for s in piece.sounding if s[0] >= cut),
        entering=first.leaving,
        opens=False,
    )
    return first, second


def tempo_at(tune: Tune, per_minute: int) -> str:
    """The tune's own beat, at another pace."""
    return tempo_words(replace(tune.tempo, per_minute=per_minute))


def tempo_words(tempo: Tempo) -> str:
    """``1/4 = 112``: the beat as a part of a whole note."""
    whole = 4 * QUARTER
    for unit in (1, 2, 4, 8, 16, 32, 64):
        if tempo.beat * unit % whole == 0:
            return f"{tempo.beat * unit // whole}/{unit} = {tempo.per_minute}"
    return f"{tempo.beat}/{whole} = {tempo.per_minute}"


def _heading(reading: Reading, bar: SheetBar, before: Bar | None) -> list[Mark]:
    """The section's name and time through, and what changes with the bar."""
    written = reading.bar(bar)
    words = [plain(written.section, reading.options.unicode)]
    words += [f"{ordinal(bar.turn)} time"] if bar.turn else []
    words += [str(written.metre)] if before and before.metre != written.metre else []
    words += [str(written.key)] if before and before.key != written.key else []
    words += [tempo_words(written.tempo)] if before and written.tempo else []
    text = ", ".join(word for word in words if word)
    longest = reading.options.width - 12  # less the label, a bar line and a repeat sign
    if len(text) > longest:
        text = text[: longest - 3].rstrip() + "..."
    return [Mark(HEADING, 0, text)] if text else []


def _number(bar: SheetBar, written: Bar) -> list[Mark]:
    """The bar's printed number; a pickup has none. The times that an ending is for, or how often
    the passage is played where that is more than twice."""
    words = [str(written.number)] if written.number else []
    if bar.endings:
        words.append("(" + "+".join(ordinal(time) for time in bar.endings) + " time)")
    elif bar.closes and bar.times > 2 and not written.endings:
        words.append(f"({bar.times} times in all)")
    return [Mark(NUMBER, 0, " ".join(words))] if words else []


def _chords(reading: Reading, written: Bar) -> list[Mark]:
    return [Mark(CHORD, change.tick, _symbol(reading, change.chord)) for change in written.chords]


def _symbol(reading: Reading, chord: Chord | None) -> str:
    if chord is None:
        return "N.C."
    return chord.pretty if reading.options.unicode else chord.symbol


def _strings(reading: Reading, bar: SheetBar) -> list[Mark]:
    """Frets, fingers and bass notes where strings are struck; where they are let go."""
    marks: list[Mark] = []
    before = None
    for sight in bar.seen:
        for course, string in enumerate(sight.strings):
            if string is not None and string[2]:
                fret, finger, _ = string
                signs = reading.signs.damped if course == 0 and sight.damped else ""
                signs += reading.signs.crossed if crosses(sight, course) else ""
                marks.append(Mark(line(course), sight.offset, reading.fret(fret) + signs))
                if finger >= 0:
                    letter = reading.arrangement.hand.letter(finger)
                    marks.append(Mark(fingers(course), sight.offset, letter))
            elif sight.lets_go(course, before):
                marks.append(Mark(line(course), sight.offset, reading.signs.let_go))
        if sight.role is not None:
            marks.append(Mark(BASS, sight.offset, ROLE_SIGNS[sight.role]))
        before = sight
    return marks


def crosses(sight: Sight, course: int) -> bool:
    """Whether that string has a melody note that is not on the melody string."""
    return sight.carrier == course and course < len(sight.strings) - 1


def _beats(bar: SheetBar, written: Bar, used: set[int], shown: bool) -> list[Mark]:
    """Beats by number, the parts of a beat as dots, and a comma for what stands between those.

    Where something happens inside a beat all its parts are marked, so that they can be counted.
    """
    beat = written.metre.beat
    part = beat // parts_of(written.metre)
    ticks = set(used)
    for start in range(-bar.lead, written.length, beat):
        busy = any(start < tick < start + beat for tick in used)
        ticks |= set(range(start, start + beat, part if shown or busy else beat))
    marks: list[Mark] = []
    for tick in sorted(tick for tick in ticks if 0 <= tick < written.length):
        beats, beyond = divmod(tick + bar.lead, beat)
        if beyond == 0:
            marks.append(Mark(BEAT, tick, str(beats + 1)))
        else:
            marks.append(Mark(BEAT, tick, "." if beyond % part == 0 else ","))
    return marks


def parts_of(metre: Metre) -> int:
    """How many parts a beat is counted in: three in compound metres, two where it is a quarter
    note or longer."""
    if metre.compound:
        return 3
    return 2 if metre.beat >= QUARTER else 1
