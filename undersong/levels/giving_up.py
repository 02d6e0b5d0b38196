"""Why a level is given up, in one sentence, and what would do.

Numbers come from exact passes over the level's own graph (``undersong.levels.needs``). What is said
to be impossible is; where it was only not found, the reason says so itself (``Reason.unproven``).

Public: Reason, impossible, cannot_alone, held_down, not_together.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from solver.errors import NotFound
from solver.watch import OutOfTime, Watch
from tune.tune import Tune
from undersong.compared import named_bars
from undersong.levels.needs import nearest, needed
from undersong.levels.version import Cannot, Demands, Percents, Version, least_of
from undersong.session import Session
from undersong.sheet.text_bar import tempo_at
from undersong.tempo_within import ALL, tempo_within
from undersong.wording import listed, many


@dataclass(frozen=True)
class Reason:
    """why: one sentence; nearest: what would do, one change each; unproven: that there is none is
    not proven."""

    why: str
    nearest: tuple[str, ...] = ()
    unproven: bool = False


def impossible(version: Version, session: Session, watch: Watch) -> Reason:
    """Of a level whose limits leave no way, which is proven. session: the one whose style levels
    change."""
    style = replace(version.level, highest=None).style(session.style, session.instrument)
    own = version.session
    wider = own if style == own.style else session.in_style(style)
    why = "its limits leave no way through the tune"
    try:
        why = str(version.why(Demands({}, {}), watch, no_way=True))
        return Reason(why, nearest(version, wider, watch))
    except OutOfTime:  # what would do is left out
        return Reason(why)


def cannot_alone(version: Version, refused: Cannot, watch: Watch) -> Reason:
    """Of a level that cannot be met by itself, though ways lead through the tune. refused: what
    the search said of it, in few words."""
    unproven, why = not refused.proven, str(refused)
    try:
        error = version.why(Demands({}, {}), watch)
        why, unproven = str(error), isinstance(error, NotFound)
        return Reason(why, _more_shifts(version, watch), unproven)
    except OutOfTime:
        return Reason(why, unproven=unproven)


def _more_shifts(version: Version, watch: Watch) -> tuple[str, ...]:
    """That the level can be met with a few more shifts in a bar, where that is so."""
    most = version.level.shifts
    for more in range(1, 5) if most is not None else ():
        level = replace(version.level, shifts=(most or 0) + more)
        other = replace(version, level=level, solved=[], quotas=(), floors={}, ceilings={})
        if other.can(Demands({}, {}), watch):
            shifts = many(level.shifts or 0, "shift")
            return (f"it can with {shifts} of the hand a bar (shifts = {level.shifts})",)
    return ()


def held_down(version: Version, watch: Watch) -> Reason:
    """Of a level that what harder ones can be rated at most leaves no way."""
    tune, free = version.session.tune, replace(version, ceilings={}, floors={})
    without = ("it can without harder levels",)
    each = [(number,) for number in sorted(version.ceilings)]
    for some in (*each, tuple(sorted(version.ceilings))):
        tops = least_of(version.ceilings[number] for number in some)
        needs = needed(free, tops, watch)
        if not needs:
            continue
        beyond = {bar: p for bar, p in needs.items() if p > ALL and tops[bar] >= ALL}
        if beyond:
            return _beyond_the_hand(version, beyond, watch)
        words = []
        for (percent, top, level), bars in _alike(version, needs, some).items():
            there = "there" if len(some) == 1 else f"on level {level}"
            bar = named_bars(tune, bars)
            words.append(f"{bar}: {percent} % at least here, {top} % at most {there}")
        of = f"level {some[0]}" if len(some) == 1 else "a harder level"
        return Reason(f"no bar may be harder than on {of} ({'; '.join(words)})", without)
    return Reason(
        "no way to play it that is in no bar harder than a harder level was found", without, True
    )


def _alike(
    version: Version, needs: Percents, some: Sequence[int]
) -> dict[tuple[int, int, int], list[int]]:
    """(what is needed, what can be had, on which level) → the bars."""
    found: dict[tuple[int, int, int], list[int]] = {}
    for bar, percent in sorted(needs.items()):
        had = {n: version.ceilings[n][bar] for n in some if bar in version.ceilings[n]}
        level = min(had, key=lambda number: (had[number], number))
        found.setdefault((percent, had[level], level), []).append(bar)
    return found


def _beyond_the_hand(version: Version, needs: Percents, watch: Watch) -> Reason:
    """It needs more of the hand than it can do, and harder ones do not."""
    own = version.solve(Demands({}, {}), watch)
    within = tempo_within(version.session.certified(own.answer, version.weights, own.conditions))
    near: tuple[str, ...] = ()
    if within.per_minute is not None and not within.never:
        tempo = tempo_at(version.session.tune, within.per_minute)
        near = (f"its own best is within the hand at {tempo}",)
    told = _needs(version.session.tune, needs)
    return Reason(
        f"it needs more than all that this hand can do, {told}, and harder levels are not made so "
        "hard for its sake",
        near,
    )


def not_together(tune: Tune, harder: int, needs: Percents) -> Reason:
    """Of a level of whose needs a harder one can hold each by itself, but was not found to hold all
    of them; it might need other things as well."""
    return Reason(
        f"it was found to need {_needs(tune, needs)}, and level {harder} cannot be so hard in all "
        "of these at once",
        unproven=True,
    )


def _needs(tune: Tune, needs: Mapping[int, int]) -> str:
    """``103 % in bar 7 and 146 % in bars 9-10``."""
    alike: dict[int, list[int]] = {}
    for bar, percent in sorted(needs.items()):
        alike.setdefault(percent, []).append(bar)
    return listed([f"{percent} % in {named_bars(tune, bars)}" for percent, bars in alike.items()])
