"""From ABC's drafts to the bars of the tune: numbers, sizes, ticks, chords, ties.

Numbering, as printed: a short first bar is the pickup, 0, the next one is 1. A bar that is cut by
a repeat sign, a double bar or the start of an ending counts once: two short neighbours with such
a sign between them share a number when together they fill one bar. (Common practice; the pickup
itself never shares.)

Sizes: a bar may be short at either end of the tune and beside such a sign; any other bar that the
metre does not fill exactly is kept as long as it is and named in a notice, since printed
collections are full of them. One longer than two full bars is an error: a bar line is missing.

Public: finished_bars, bar_numbers.
"""

from collections.abc import Sequence
from fractions import Fraction

from tune.chord import Chord, ChordError, parse_chord
from tune.errors import Place, TuneError
from tune.readers.abc.draft import Draft, DraftBar, Event, Spot
from tune.time import ticks
from tune.tune import Bar, ChordChange, Note

_NO_CHORD = frozenset(("n.c.", "nc", "n.c", "no chord"))


def _completes(before: DraftBar, bar: DraftBar) -> bool:
    """Whether two short bars with a sign between them fill one bar of their metre."""
    return (
        before.short
        and bar.short
        and before.metre == bar.metre
        and before.length + bar.length == bar.full
        and (before.right_sign or bar.left_sign)
    )


def bar_numbers(bars: Sequence[DraftBar]) -> list[int]:
    """The printed number of each bar."""
    numbers: list[int] = []
    shared = False
    for index, bar in enumerate(bars):
        if index == 0:
            numbers.append(0 if bar.short and len(bars) > 1 else 1)
        elif not shared and numbers[-1] > 0 and _completes(bars[index - 1], bar):
            numbers.append(numbers[-1])
            shared = True
        else:
            numbers.append(numbers[-1] + 1)
            shared = False
    return numbers


def _told_size(bars: Sequence[DraftBar], numbers: Sequence[int], index: int) -> str:
    """What there is to say of a bar's size; TuneError when a bar line must be missing."""
    bar = bars[index]
    if bar.free or bar.length == bar.full:
        return ""
    if bar.length > 2 * bar.full:
        spot = bar.events[0].spot
        raise TuneError(
            f"the bar lasts {_in_quarters(bar.length)} where {bar.metre} asks for "
            f"{_in_quarters(bar.full)}; a bar line is missing",
            Place(line=spot.line, column=spot.column),
        )
    number = numbers[index]
    edge = index in (0, len(bars) - 1) or bar.left_sign or bar.right_sign
    shared = number in (*numbers[index - 1 : index], *numbers[index + 1 : index + 2])
    if bar.short and (edge or shared):
        return ""
    return (
        f"the bar lasts {_in_quarters(bar.length)} where {bar.metre} asks for "
        f"{_in_quarters(bar.full)}"
    )


def _in_quarters(length: Fraction) -> str:
    return f"{length} quarter" + ("" if length == 1 else "s")


def read_chord(text: str) -> tuple[Chord | None, str]:
    """The chord that ABC's ``text`` names (None for N.C.), and what of it was left out.

    The case of a bass note does not matter, and a second chord in brackets, ``G(Em)``, is an
    alternative that is printed only (ABC 2.1 §4.18).
    """
    if text.lower() in _NO_CHORD:
        return None, ""
    main, bracket, other = text.partition("(")
    spare = ""
    if bracket and other[:1] in tuple("ABCDEFG") and other.endswith(")") and main:
        text, spare = main.strip(), other[:-1]
    body, slash, bass = text.partition("/")
    return parse_chord(body + slash + bass[:1].upper() + bass[1:]), spare


class _Finisher:
    """Turns one draft bar after the other into ``Bar``s and gathers notices."""

    def __init__(self, draft: Draft, file: str) -> None:
        self._draft = draft
        self._file = file
        self._numbers = bar_numbers(draft.bars)

    def bar(self, index: int) -> Bar:
        draft = self._draft.bars[index]
        number = self._numbers[index]
        first = draft.events[0].spot
        place = Place(self._file, first.line, None, number)
        try:
            told = _told_size(self._draft.bars, self._numbers, index)
            if told:
                self._draft.tell(index, told, f"size {index}")
            notes, chords = self._events(draft, index)
            return Bar(
                number=number,
                metre=draft.metre,
                length=ticks(draft.length),
                key=draft.key,
                chords=chords,
                notes=notes,
                section=draft.section,
                repeat_start=draft.repeat_start,
                repeat_times=draft.repeat_times,
                endings=draft.endings,
                tempo=draft.tempo,
            )
        except TuneError as error:
            raise error.at(place) from None

    def _events(
        self, draft: DraftBar, index: int
    ) -> tuple[tuple[Note, ...], tuple[ChordChange, ...]]:
        notes: list[Note] = []
        chords: list[ChordChange] = []
        at = Fraction(0)
        for event in draft.events:
            try:
                tick, end = ticks(at), ticks(at + event.length)
            except TuneError as error:
                place = Place(line=event.spot.line, column=event.spot.column)
                raise error.at(place) from None
            if event.chord is not None and event.chord_spot is not None:
                chords.append(ChordChange(tick, self._chord(event.chord, event.chord_spot, index)))
            notes.append(_note(event, tick, end - tick))
            at += event.length
        return tuple(notes), tuple(chords)

    def _chord(self, text: str, spot: Spot, index: int) -> Chord | None:
        try:
            chord, spare = read_chord(text)
        except ChordError as error:
            raise TuneError(
                f'{error.message} (words that are no chord are written "^{text}")',
                Place(line=spot.line, column=spot.column + error.column - 1),
            ) from None
        if spare:
            self._draft.tell(index, f"the other chord in brackets, {spare}, is left out", "other")
        return chord

    def notices(self) -> tuple[str, ...]:
        return tuple(
            sentence
            if index is None or index >= len(self._numbers)
            else f"bar {self._numbers[index]}: {sentence}"
            for index, sentence in self._draft.notices
        )


def _note(event: Event, tick: int, length: int) -> Note:
    lyrics = list(event.lyrics)
    while lyrics and not lyrics[-1]:
        lyrics.pop()
    return Note(
        tick=tick,
        length=length,
        midi=event.midi,
        name=event.name,
        tied=event.tied,
        grace=event.grace,
        tuplet=event.tuplet,
        lyrics=tuple(lyrics),
        marks=tuple(event.marks),
    )


def _settle_ties(bars: Sequence[DraftBar]) -> None:
    """A tie that leads to another pitch is a slur, and one that leads nowhere is nothing."""
    events = [event for bar in bars for event in bar.events if not event.grace]
    for event, following in zip(events, [*events[1:], None], strict=True):
        event.tied = event.tied and following is not None and following.midi == event.midi


def finished_bars(draft: Draft, file: str = "") -> tuple[tuple[Bar, ...], tuple[str, ...]]:
    """The bars of the draft and all notices; TuneErrors name file, line, bar and column."""
    _settle_ties(draft.bars)
    finisher = _Finisher(draft, file)
    bars = tuple(finisher.bar(index) for index in range(len(draft.bars)))
    return bars, finisher.notices()
