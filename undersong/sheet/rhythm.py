"""Ticks into written values: notes, rests, dots, ties, tuplets and beams of one bar.

Everything that prints notes reads this: the engraved page and files for notation programs. The
rules of where values are cut are those of ``undersong.sheet.beats``, of tuplets those of
``undersong.sheet.tuplets``. Beams join eighths and shorter notes of one beat (of one tuplet, where
that goes beyond it), and no rest. An empty full bar has one whole rest, in whatever metre.

Public: Stem, stems, bar_stems.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from tune.bar_names import bar_name
from tune.time import Metre
from tune.tune import Bar
from undersong.sheet.beats import Beats, beats_of, value_of
from undersong.sheet.errors import SheetError
from undersong.sheet.tuplets import Bracket, brackets

_Piece = tuple[int, int]


@dataclass(frozen=True)
class Stem:
    """One written note, chord or rest.

    event: index into the spans, None for a rest; tick: from the bar's start; length: ticks that it
    really lasts; base: 1 whole, 2 half, 4 quarter … 128; dots: 0 to 2; tuplet: (actual, normal),
    such as (3, 2); tuplet_starts, tuplet_ends: at the tuplet's first and last; ties_on: it goes on
    into the next stem of the same event; beam: number of its beam within the bar, from 1, or None.
    A whole rest for an empty bar has base 1 and lasts as long as the bar.
    """

    event: int | None
    tick: int
    length: int
    base: int
    dots: int
    tuplet: tuple[int, int] | None = None
    tuplet_starts: bool = False
    tuplet_ends: bool = False
    ties_on: bool = False
    beam: int | None = None


def bar_stems(spans: Sequence[tuple[int, int]], bar: Bar, lead: int) -> tuple[Stem, ...]:
    """``stems`` of a written bar; SheetError with its number and the mend where no value fits."""
    try:
        return stems(spans, bar.metre, bar.length, lead)
    except SheetError as error:
        raise SheetError(
            f"{bar_name(bar.number)}: {error}; give it another length, or write .txt or .json, "
            "which need no note values"
        ) from None


def stems(
    spans: Sequence[tuple[int, int]], metre: Metre, length: int, lead: int = 0
) -> tuple[Stem, ...]:
    """The written values of a bar of ``length`` ticks.

    spans: (tick, length) of what sounds, in order, without overlaps; what lies between is rests;
    lead: ticks of the full bar that are missing before it (a pickup's). Raises SheetError, without
    the bar's name, where spans overlap or a length cannot be written.
    """
    if not spans and lead == 0 and length == metre.bar:
        return (Stem(None, 0, length, 1, 0),)
    sounding = _filled(spans, length, lead)
    beats = beats_of(metre, lead + length)
    tuplets = brackets([(start, end) for _, start, end in sounding], beats)
    made: list[Stem] = []
    groups: list[int] = []
    for event, start, end in sounding:
        pieces = list(_pieces(event, start, end, beats, tuplets))
        for index, stem in enumerate(pieces):
            made.append(replace(stem, ties_on=event is not None and index + 1 < len(pieces)))
            groups.append(_beam_group(stem.tick, beats, tuplets))
    made = _bracketed(made, tuplets)
    return tuple(replace(stem, tick=stem.tick - lead) for stem in _beamed(made, groups))


def _filled(
    spans: Sequence[tuple[int, int]], length: int, lead: int
) -> list[tuple[int | None, int, int]]:
    """(event, start, end) from the full bar's start, with the rests between."""
    filled: list[tuple[int | None, int, int]] = []
    clock = 0
    for event, (tick, lasts) in enumerate(spans):
        if tick < clock or lasts <= 0 or tick + lasts > length:
            raise SheetError("notes overlap or do not fit their bar")
        if tick > clock:
            filled.append((None, lead + clock, lead + tick))
        filled.append((event, lead + tick, lead + tick + lasts))
        clock = tick + lasts
    if clock < length:
        filled.append((None, lead + clock, lead + length))
    return filled


def _pieces(
    event: int | None, start: int, end: int, beats: Beats, tuplets: Sequence[Bracket]
) -> Iterator[Stem]:
    """The written values of one note or rest; their ticks count from the full bar's start."""
    edges = {place for bracket in tuplets for place in (bracket.start, bracket.end)}
    places = [start, *sorted(place for place in edges if start < place < end), end]
    rest = event is None
    for one, other in pairwise(places):
        bracket = next((b for b in tuplets if b.start <= one and other <= b.end), None)
        if bracket is None:
            for a, b in _cut(one, other, beats, rest, {}):
                yield _stem(event, a, b, b - a, None)
            continue
        inner = _cut(bracket.nominal(one), bracket.nominal(other), bracket.beats, rest, {})
        for a, b in inner:
            yield _stem(event, bracket.real(a), bracket.real(b), b - a, bracket.ratio)


def _stem(
    event: int | None, start: int, end: int, written: int, tuplet: tuple[int, int] | None
) -> Stem:
    value = value_of(written)
    assert value is not None, "pieces are cut until one value lasts each"
    return Stem(event, start, end - start, *value, tuplet)


def _cut(
    start: int, end: int, beats: Beats, rest: bool, known: dict[_Piece, tuple[_Piece, ...]]
) -> tuple[_Piece, ...]:
    """The fewest pieces, cut at the strongest places within; the longest first."""
    if (start, end) in known:
        return known[start, end]
    if value_of(end - start) is not None:
        may = beats.rest_may if rest else beats.note_may
        if may(start, end):
            return ((start, end),)
    _, places = beats.inside(start, end)
    if not places:
        raise SheetError("a note is shorter than any written value")
    ways = (
        _cut(start, place, beats, rest, known) + _cut(place, end, beats, rest, known)
        for place in reversed(places)
    )
    known[start, end] = min(ways, key=len)
    return known[start, end]


def _beam_group(place: int, beats: Beats, tuplets: Sequence[Bracket]) -> int:
    """Where the beat begins that the place is beamed in, or the tuplet, if that goes beyond it."""
    group = beats.group_at(place)
    for bracket in tuplets:
        beyond = bracket.start < group.start or bracket.end > group.end
        if bracket.start <= place < bracket.end and beyond:
            return bracket.start
    return group.start


def _bracketed(made: list[Stem], tuplets: Sequence[Bracket]) -> list[Stem]:
    """The stems with the ends of their tuplets marked."""
    for bracket in tuplets:
        inside = [i for i, s in enumerate(made) if bracket.start <= s.tick < bracket.end]
        made[inside[0]] = replace(made[inside[0]], tuplet_starts=True)
        made[inside[-1]] = replace(made[inside[-1]], tuplet_ends=True)
    return made


def _beamed(made: Sequence[Stem], groups: Sequence[int]) -> Iterator[Stem]:
    """The stems with their beams numbered."""
    number, index = 0, 0
    while index < len(made):
        end = index
        while (
            end < len(made)
            and groups[end] == groups[index]
            and made[end].event is not None
            and made[end].base >= 8
        ):
            end += 1
        if end - index > 1:
            number += 1
            yield from (replace(stem, beam=number) for stem in made[index:end])
        else:
            end = index + 1
            yield made[index]
        index = end
