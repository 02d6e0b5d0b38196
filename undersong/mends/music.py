"""Mends of the music: a chord without its third or seventh, or over another bass note; a bar in
another bass manner.

Public: music_ideas, other_chords.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations, product

from solver.clash import Clash, clash_of_bars
from solver.conditions.bars import Bars
from solver.conditions.pinned import BassManner
from solver.conditions.pins import Pin
from solver.demands import Wanted, demands_in
from solver.loose import Loose, TooMuch
from solver.refusal import note
from solver.style import manners_in
from solver.watch import Watch
from tune.bar_names import bar_name
from tune.chord import Chord, pitch_class
from tune.tune import Bar, Tune
from undersong.mends.mend import Idea, Kind

SIMPLER = {
    "7": ("", "seventh"), "maj7": ("", "seventh"), "m7": ("m", "seventh"), "6": ("", "sixth"),
    "m6": ("m", "sixth"), "add9": ("", "ninth"), "9": ("7", "ninth"), "m7b5": ("dim", "seventh"),
    "dim7": ("dim", "seventh"), "7sus4": ("sus4", "seventh"),
}  # fmt: skip
"""Quality → the same with one tone less, and which."""

WITHOUT_THIRD = ("", "m", "sus2", "sus4", "7", "m7", "maj7")
MOST_CHORDS = 12
MOST_LOSSES = 3
"""Chords whose losses are told one by one."""


@dataclass(frozen=True)
class Other:
    """Another chord in a chord's place, and what is lost."""

    chord: Chord
    loses: str


def other_chords(chord: Chord) -> Iterator[Other]:
    """What might be played instead, what loses least first."""
    if chord.bass is not None:
        yield Other(replace(chord, bass=None), f"the {chord.bass} in the bass")
    if chord.quality in SIMPLER:
        quality, tone = SIMPLER[chord.quality]
        yield Other(replace(chord, quality=quality), f"the {tone}")
    if chord.quality in WITHOUT_THIRD:
        lost = "the third" if "third" in chord.degrees else f"the {list(chord.degrees)[1]}"
        yield Other(replace(chord, quality="5"), lost)
    for degree, pc in chord.degrees.items():
        name = note(pc, chord)
        if degree != "root" and (chord.bass is None or pitch_class(chord.bass) != pc):
            lost = f"the {chord.bass or 'root'} in the bass"
            yield Other(replace(chord, bass=name), lost)


def music_ideas(wanted: Wanted, clash: Clash, watch: Watch) -> Iterator[Idea]:
    """Changes in the bars that clash, then in every bar that needs them."""
    written = _written(wanted, clash)
    if not written:
        return
    for index in written[-1:]:
        bar = wanted.tune.bars[index]
        for chord in _chords(wanted.tune, index):
            if index not in _bars_with(wanted.tune, chord):
                continue  # it goes on from an earlier bar
            for other in other_chords(chord):
                yield Idea(
                    Kind.CHORD,
                    f"play {other.chord} for {chord} in {bar_name(bar.number)}",
                    "",
                    f"{other.loses} there",
                    replace(wanted, tune=_with(wanted.tune, chord, other.chord, {index})),
                )
        yield from _manner_ideas(wanted, bar)
    yield from _everywhere(wanted, written[-1], watch)


def _written(wanted: Wanted, clash: Clash) -> list[int]:
    first, last = clash.played
    return [bar.written for bar in wanted.tune.played[max(0, first - 1) : last]]


def _chords(tune: Tune, index: int) -> list[Chord]:
    """The chords that sound in a written bar."""
    begins = [change.chord for change in tune.bars[index].chords]
    if not tune.bars[index].chords or tune.bars[index].chords[0].tick:
        earlier = [c.chord for bar in tune.bars[:index] for c in bar.chords]
        begins = earlier[-1:] + begins
    return list(dict.fromkeys(chord for chord in begins if chord is not None))


def _with(tune: Tune, old: Chord, new: Chord, where: set[int] | None) -> Tune:
    """The tune with another chord; where: written bars in which it begins, None for all."""
    change: Callable[[Bar], Bar] = lambda bar: replace(  # noqa: E731
        bar,
        chords=tuple(
            replace(each, chord=new) if each.chord == old else each for each in bar.chords
        ),
    )
    bars = (
        change(bar) if where is None or index in where else bar
        for index, bar in enumerate(tune.bars)
    )
    return replace(tune, bars=tuple(bars))


def _manner_ideas(wanted: Wanted, bar: Bar) -> Iterator[Idea]:
    """Another bass manner in the bar alone."""
    kept = tuple(pin for pin in wanted.conditions.pins if not isinstance(pin.pinned, BassManner))
    for name in manners_in(wanted.style.texture):
        if name == wanted.style.manner:
            continue
        pin = Pin(Bars(bar.number, bar.number), BassManner(name))
        conditions = replace(wanted.conditions, pins=(*kept, pin))
        yield Idea(
            Kind.MANNER_THERE,
            f"play {bar_name(bar.number)} in the bass manner {name}",
            f"--pin '{bar.number}: manner {name}'",
            f"the bass is not {wanted.style.manner} in that bar",
            replace(wanted, conditions=conditions),
        )


def _everywhere(wanted: Wanted, index: int, watch: Watch) -> Iterator[Idea]:
    """Every chord that cannot be played changed, wherever it stands, until the tune can be; not
    where that is one chord of that written bar alone, whose mend is the bar's own.

    Raises Stopped, and OutOfTime where the time ends before it is known what to change.
    """
    now, changes = wanted, dict[Chord, Other]()
    for _ in range(MOST_CHORDS):
        try:
            clash = clash_of_bars(now, watch)
            found = {} if clash is None else _more(now, clash)
        except TooMuch:
            return
        if clash is None:
            break
        if not found or any(old in [o.chord for o in changes.values()] for old in found):
            return  # what was changed already would have to be changed again
        changes |= found
        now = _changed(now, found)
    else:
        return
    where = [_bars_with(wanted.tune, chord) for chord in changes]
    if where and where != [[index]]:
        told = ", ".join(f"{other.chord} for {old}" for old, other in changes.items())
        yield Idea(
            Kind.CHORDS, f"play {told}, wherever they stand", "", _lost_everywhere(changes), now
        )


def _bars_with(tune: Tune, chord: Chord) -> list[int]:
    """Indices of the written bars in which the chord begins."""
    return [
        index
        for index, bar in enumerate(tune.bars)
        if any(each.chord == chord for each in bar.chords)
    ]


def _lost_everywhere(changes: Mapping[Chord, Other]) -> str:
    """What is lost, chord by chord where they are few."""
    if len(changes) <= MOST_LOSSES:
        return ", ".join(f"{other.loses} of {old}" for old, other in changes.items())
    basses = sum(other.loses.endswith(" in the bass") for other in changes.values())
    what = {0: "a tone", len(changes): "the bass note"}.get(basses, "a tone or the bass note")
    return f"{what} of {len(changes)} chords"


def _changed(now: Wanted, changes: Mapping[Chord, Other]) -> Wanted:
    tune = now.tune
    for old, other in changes.items():
        tune = _with(tune, old, other.chord, None)
    return replace(now, tune=tune)


def _more(now: Wanted, clash: Clash) -> dict[Chord, Other]:
    """The fewest chords of the last bar that clashes to change, so that its bars can be played."""
    first, last = clash.played
    written = _written(now, clash)
    chords = _chords(now.tune, written[-1])
    for count in range(1, min(len(chords), 3) + 1):
        for some in combinations(chords, count):
            for others in product(*(other_chords(chord) for chord in some)):
                changes = dict(zip(some, others, strict=True))
                changed = _changed(now, changes)
                kept = frozenset(demands_in(changed, written))
                if Loose(changed).playable(kept, first, last):
                    return changes
    return {}
