"""Folding: which bars a sheet prints, so that repeats stand as written wherever they can.

A passage that is repeated is printed once, with its repeat signs, when every bar of it is played
with the same hands (frets, fingers, strokes, bass notes) each time; else that passage is written
out, time after time, and the other passages stay folded. Common practice, no source.

Public: fold, looped, Folding, SheetBar, WrittenOut, leads.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from solver.result import Arrangement
from tune.played import PlayedBar
from tune.tune import Tune
from undersong.sheet.hands import Seen, alike, bass_alone, frets_struck, seen_bars


@dataclass(frozen=True)
class SheetBar:
    """One bar on paper.

    written: index into the tune's bars; passes: numbers of the played bars that it stands for;
    lead: ticks of its full bar that are missing before it (a pickup's); seen: what the hands do,
    one picture for all its passes; opens, closes: repeat signs; times: at the closing sign, how
    often the passage is played in all; endings: the times that an ending begins here for; turn:
    which time through, at the first bar of each time of a passage that is written out, else 0.
    """

    written: int
    passes: tuple[int, ...]
    lead: int
    seen: Seen
    opens: bool = False
    closes: bool = False
    times: int = 1
    endings: tuple[int, ...] = ()
    turn: int = 0


@dataclass(frozen=True)
class WrittenOut:
    """A passage whose times differ: written indexes of its first and last bar, and of the first
    bar that is not played alike."""

    first: int
    last: int
    differs: int


@dataclass(frozen=True)
class Folding:
    """bars: in the order that they are printed in; written_out: the passages that do not fold;
    first_stands: of a bass part, some bars strike the same frets with other fingers, leave
    them sounding longer, or call them otherwise, another time, and the first time stands for
    all."""

    bars: tuple[SheetBar, ...]
    written_out: tuple[WrittenOut, ...]
    first_stands: bool = False


def fold(arrangement: Arrangement, bass_part: bool = False) -> Folding:
    """The bars to print: as written where every time through has the same hands. bass_part: only
    the bass string is printed, as of a bass texture always, and a passage folds where its frets
    are the same each time."""
    tune = arrangement.tune
    seen, missing = seen_bars(arrangement), leads(tune)
    alone = bass_part or arrangement.style.texture == "bass"
    if alone:
        seen = tuple(bass_alone(one, roles=not bass_part) for one in seen)
    bars: list[SheetBar] = []
    written_out: list[WrittenOut] = []
    first_stands = False
    for start, end in _passages(tune.played):
        passage = tune.played[start:end]
        shown = _as_the_first_time(passage, seen) if alone else seen
        differs = _first_difference(passage, shown, missing)
        if differs is None:
            bars += _folded(tune, passage, shown, missing)
            first_stands = first_stands or shown != seen
        else:
            bars += _unfolded(passage, seen, missing)
            written = [bar.written for bar in passage]
            written_out.append(WrittenOut(min(written), max(written), differs))
    return Folding(tuple(bars), tuple(written_out), first_stands)


def looped(folding: Folding) -> Folding:
    """The same with repeat signs around all of it."""
    bars = list(folding.bars)
    bars[0] = replace(bars[0], opens=True)
    bars[-1] = replace(bars[-1], closes=True, times=2)
    return replace(folding, bars=tuple(bars))


def _as_the_first_time(passage: tuple[PlayedBar, ...], seen: tuple[Seen, ...]) -> tuple[Seen, ...]:
    """What is seen, the passage's bars as the first time where the same frets are struck."""
    shown = list(seen)
    first: dict[int, Seen] = {}
    for bar in passage:
        here = seen[bar.number - 1]
        picture = first.setdefault(bar.written, here)
        if alike(picture, here) is None and frets_struck(picture) == frets_struck(here):
            shown[bar.number - 1] = picture
    return tuple(shown)


def leads(tune: Tune) -> tuple[int, ...]:
    """Ticks missing before each played bar: a pickup's, and those of a bar that completes one."""
    found: list[int] = []
    before = 0
    for number, played in enumerate(tune.played):
        bar = tune.bars[played.written]
        missing = bar.metre.bar - bar.length
        found.append(missing if missing > 0 and (number == 0 or before == missing) else 0)
        before = bar.length
    return tuple(found)


def _passages(played: tuple[PlayedBar, ...]) -> Iterator[tuple[int, int]]:
    """(start, end) in playing order: repeated passages with all their times, and what lies
    between them."""
    start = index = 0
    while index < len(played):
        if played[index].turn == 1:
            index += 1
            continue
        opening = index - 1
        while played[opening].written > played[index].written:
            opening -= 1
        if opening > start:
            yield start, opening
        while index < len(played) and played[index].turn > 1:
            index += 1
        yield opening, index
        start = index
    if start < len(played):
        yield start, len(played)


def _first_difference(
    passage: tuple[PlayedBar, ...], seen: tuple[Seen, ...], missing: tuple[int, ...]
) -> int | None:
    """The written index of the first bar of the passage that is not played alike each time."""
    pictures: dict[int, Seen] = {}
    lead: dict[int, int] = {}
    for bar in passage:
        here = seen[bar.number - 1]
        picture = alike(pictures.get(bar.written, here), here)
        if (
            picture is None
            or lead.setdefault(bar.written, missing[bar.number - 1]) != missing[bar.number - 1]
        ):
            return bar.written
        pictures[bar.written] = picture
    return None


def _folded(
    tune: Tune, passage: tuple[PlayedBar, ...], seen: tuple[Seen, ...], missing: tuple[int, ...]
) -> list[SheetBar]:
    """The passage as written."""
    passes: dict[int, list[int]] = {}
    closing: set[int] = set()
    for at, bar in enumerate(passage):
        passes.setdefault(bar.written, []).append(bar.number)
        if at + 1 < len(passage) and passage[at + 1].written <= bar.written:
            closing.add(bar.written)
    times = passage[-1].turn
    bars: list[SheetBar] = []
    before: tuple[int, ...] = ()
    for written in sorted(passes):
        numbers = passes[written]
        endings = tune.bars[written].endings if times > 1 else ()
        bars.append(
            SheetBar(
                written=written,
                passes=tuple(numbers),
                lead=missing[numbers[0] - 1],
                seen=_picture([seen[number - 1] for number in numbers]),
                opens=times > 1 and written == passage[0].written,
                closes=written in closing,
                times=times if written in closing else 1,
                endings=endings if endings != before else (),
            )
        )
        before = () if written in closing else endings
    return bars


def _picture(times: list[Seen]) -> Seen:
    """What serves every time through; they are known to be alike."""
    picture = times[0]
    for other in times[1:]:
        both = alike(picture, other)
        assert both is not None, "only bars that are alike are folded"
        picture = both
    return picture


def _unfolded(
    passage: tuple[PlayedBar, ...], seen: tuple[Seen, ...], missing: tuple[int, ...]
) -> list[SheetBar]:
    """The passage as played."""
    return [
        SheetBar(
            written=bar.written,
            passes=(bar.number,),
            lead=missing[bar.number - 1],
            seen=seen[bar.number - 1],
            turn=bar.turn if at == 0 or passage[at - 1].turn != bar.turn else 0,
        )
        for at, bar in enumerate(passage)
    ]
