"""Two arrangements of one tune side by side: what can be counted of each, where they differ as
heard or fretted, and what that does to the hands and the music, in a player's words.

Nothing here is judged: every figure is counted or comes from the bill.

Public: Figures, figures, bars_apart, printed_bars, named_bars, bar_cell, changes, saves, words_of.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from solver.conditions.few_shapes import learned
from solver.result import Arrangement
from tune.bar_names import PICKUP
from tune.tune import Tune
from undersong.sheet.text_signs import ordinal
from undersong.wording import many

_MUCH = {
    "hand-shift": "shifting",
    "finger-travel": "finger travel",
    "finger-slide": "sliding",
    "hurry": "hurry",
    "stretch": "stretch",
    "far-stretch": "stretch near the hand's greatest",
    "cramp": "cramping",
    "barred": "barring",
    "high-bass": "climbing of the bass",
    "bass-silent": "silence in the bass",
    "upper-silent": "silence above the bass",
    "clash": "clashing of open strings",
    "bass-above": "sound below the bass",
    "drone-clash": "grating of open strings on the melody",
}
"""Terms that are more or less → the words for it."""

_MANY = {
    "finger-down": "fingers to put down",
    "finger-up": "fingers to lift",
    "unaccustomed-finger": "unaccustomed fingers",
    "change-off-root": "chords begun off the root",
    "beat-off-root": "first beats off the root",
    "half-bar": "half bars off root and fifth",
    "root-again": "roots come back to at half bars",
    "missed-answer": "bass answers missed",
    "foreign-bass": "notes foreign to the chord",
    "bass-leap": "leaps in the bass",
    "bass-still": "repeated bass notes",
    "broken-run": "breaks in runs",
    "early-root": "roots touched too early in runs",
    "root-missing": "missing roots",
    "root-fading": "fading roots",
    "third-missing": "missing thirds",
    "third-fading": "fading thirds",
    "fifth-missing": "missing fifths",
    "seventh-missing": "missing sevenths",
    "seventh-fading": "fading sevenths",
    "left-out": "strings left out",
    "voice-leap": "leaps above the bass",
    "parallel-fifths": "parallel fifths",
    "melody-crossed": "melody notes off the melody string",
    "thin-strum": "strings left out under the melody",
    "drone-bass": "bass notes that only drone",
    "no-breath": "breaths missed",
}
"""Terms that are more or fewer → the words for it; a term in neither table has its own name."""

_SHOWN = 2
"""How many terms that fall, and that rise, are told."""


@dataclass(frozen=True)
class Figures:
    """lowest, highest: the lowest and highest fret that a finger stops, in semitones above the
    nut, None where none does; shapes: different ones to learn; shifts: times that the whole hand
    travels; barred: times a finger is laid across strings anew; costliest: the number of the played
    bar that costs most, the first of equals; costliest_ms: what it costs."""

    lowest: int | None
    highest: int | None
    shapes: int
    shifts: int
    barred: int
    costliest: int
    costliest_ms: int


def figures(arrangement: Arrangement) -> Figures:
    """What can be counted of an arrangement."""
    grips = [choice.grip for choice in arrangement.choices]
    stopped = [
        fret
        for grip in grips
        for fret, finger in zip(grip.frets, grip.fingers, strict=True)
        if finger >= 0
    ]
    shapes = {learned(grip) for grip in grips} - {None}
    costs: dict[int, int] = {}
    for index, moment in enumerate(arrangement.moments):
        costs[moment.bar] = costs.get(moment.bar, 0) + arrangement.bill.at(index)
    costliest = max(costs, key=lambda bar: costs[bar])
    rated = arrangement.difficulty.bars
    return Figures(
        lowest=min(stopped, default=None),
        highest=max(stopped, default=None),
        shapes=len(shapes),
        shifts=sum(bar.shifts for bar in rated),
        barred=sum(bar.barred for bar in rated),
        costliest=costliest,
        costliest_ms=costs[costliest],
    )


def bars_apart(one: Arrangement, other: Arrangement) -> tuple[int, ...]:
    """Numbers of the played bars in which the two differ as heard or fretted: another fret, a
    string that sounds in one only, or another stroke. Other fingers alone are no difference.

    Both have the same moments.
    """
    found: dict[int, None] = {}
    for moment, here, there in zip(one.moments, one.choices, other.choices, strict=True):
        if (here.grip.frets, here.struck) != (there.grip.frets, there.struck):
            found[moment.bar] = None
    return tuple(found)


def printed_bars(tune: Tune, played: tuple[int, ...]) -> str:
    """Played bars by the numbers on the page: ``3, 7-9, 12 (2nd time)``; a bar that is meant each
    time through has no time beside it."""
    times: dict[int, list[int]] = {}
    all_times: dict[int, int] = {}
    for bar in tune.played:
        all_times[bar.written] = all_times.get(bar.written, 0) + 1
        if bar.number in played:
            times.setdefault(bar.written, []).append(all_times[bar.written])
    words: list[tuple[int, str]] = []
    for written in sorted(times):
        some = times[written] if len(times[written]) < all_times[written] else []
        note = f" ({' and '.join(map(ordinal, some))} time)" if some else ""
        words.append((written, note))
    parts: list[str] = []
    for _, run in groupby(enumerate(words), key=lambda item: (item[1][0] - item[0], item[1][1])):
        inside = [word for _, word in run]
        first, last = tune.bars[inside[0][0]].number, tune.bars[inside[-1][0]].number
        numbers = f"{first}" if first == last else f"{first}-{last}"
        parts.append(f"{numbers}{inside[0][1]}")
    return ", ".join(parts)


def named_bars(tune: Tune, played: Sequence[int]) -> str:
    """The same with its noun: ``bar 12 (2nd time)``, ``bars 3, 7-9``, ``the pickup and bar 1``."""
    pickup, others = _pickup_and_others(tune, played)
    told = [f"the pickup{_time(printed_bars(tune, pickup))}"] if pickup else []
    if others or not pickup:
        many = len({bar.written for bar in tune.played if bar.number in others}) > 1
        told.append(f"bar{'s' * many} {printed_bars(tune, others)}")
    return " and ".join(told)


def bar_cell(tune: Tune, played: Sequence[int]) -> str:
    """The same for a table, where no noun stands: ``3, 7-9``, ``pickup, 1``."""
    pickup, others = _pickup_and_others(tune, played)
    told = [f"pickup{_time(printed_bars(tune, pickup))}"] if pickup else []
    return ", ".join([*told, *filter(None, [printed_bars(tune, others)])])


def _pickup_and_others(
    tune: Tune, played: Sequence[int]
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The played bars that are a pickup, and those that are none."""
    pickups = {
        bar.number for bar in tune.played if tune.bars[bar.written].number == PICKUP
    }.intersection(played)
    return tuple(sorted(pickups)), tuple(number for number in played if number not in pickups)


def _time(printed: str) -> str:
    """What stands beside the number: `` (2nd time)`` or nothing."""
    _, there, rest = printed.partition(" (")
    return there + rest


def changes(best: Arrangement, other: Arrangement) -> str:
    """What rises and falls most in the other's bill against the best's, in ms, and what all else
    comes to, so that it adds up; nothing where the bills are the same."""
    mine = {name: cost for name, (_, cost) in best.bill.terms.items()}
    differ = {name: cost - mine[name] for name, (_, cost) in other.bill.terms.items()}
    falls = sorted((ms, name) for name, ms in differ.items() if ms < 0)[:_SHOWN]
    rises = sorted(((-ms, name) for name, ms in differ.items() if ms > 0))[:_SHOWN]
    words = [f"{_less(name)} ({-ms} ms)" for ms, name in falls]
    words += [f"more {words_of(name)} ({-ms} ms)" for ms, name in rises]
    rest = sum(differ.values()) - sum(ms for ms, _ in falls) + sum(ms for ms, _ in rises)
    if rest:
        words.append(f"{abs(rest)} ms {'more' if rest > 0 else 'less'} in all else")
    return ", ".join(words)


def _less(name: str) -> str:
    return f"{'fewer' if name in _MANY else 'less'} {words_of(name)}"


def words_of(name: str) -> str:
    """A term as a player would say that there is more of it."""
    return _MUCH.get(name) or _MANY.get(name) or name.replace("-", " ")


def saves(best: Arrangement, other: Arrangement, from_capo: bool = False) -> str:
    """What the other has less of: fingers to put down, shifts, barred shapes, shapes to learn,
    frets up the neck; nothing where it has no less of any."""
    mine, theirs = figures(best), figures(other)
    fingers = [bill.terms["finger-down"][0] for bill in (best.bill, other.bill)]
    counted = (
        (fingers[0] - fingers[1], "finger to put down", "fingers to put down"),
        (mine.shifts - theirs.shifts, "shift", "shifts"),
        (mine.barred - theirs.barred, "barred shape", "barred shapes"),
        (mine.shapes - theirs.shapes, "shape", "shapes"),
    )
    words = [many(less, one, more) for less, one, more in counted if less > 0]
    if mine.highest is not None and (theirs.highest is None or theirs.highest < mine.highest):
        label = best.instrument.label
        top = "open strings only" if theirs.highest is None else label(theirs.highest, from_capo)
        words.append(f"highest fret {top}, not {label(mine.highest, from_capo)}")
    return ", ".join(words)
