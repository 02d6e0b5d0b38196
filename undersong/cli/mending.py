"""What a command says when the tune cannot be arranged as asked: what clashes, and what would mend.

Public: besides, Octaves, looked_for, say_mends, Cannot, cannot, say_cannot.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from undersong.cli.endings import say
from undersong.wording import many

if TYPE_CHECKING:
    from collections.abc import Iterable

    from scoring.weights import Weights
    from solver.clash import Clash
    from solver.conditions import Conditions
    from solver.watch import Watch
    from undersong.mends import Mend, Mends
    from undersong.session import Session

SECONDS = 5.0
"""What looking for mends may take where nobody asked for them by name."""

SHOWN = 5

Octaves = tuple[tuple[str, int], ...]
"""Bars as typed after --octave, and by how many octaves their melody is moved."""


def looked_for(
    session: Session,
    conditions: Conditions,
    weights: Weights,
    transposed: int,
    watch: Watch,
    seconds: float = SECONDS,
    octaves: Octaves = (),
) -> tuple[Clash, Mends] | None:
    """What clashes and what mends, as far as the time allows; None where nothing was found to
    clash. transposed, octaves: what was typed of the kind, for what is to be typed instead.
    Raises Stopped, and OutOfTime where not even the clash was found."""
    from undersong.mends import mends_of

    some = watch.within(seconds)
    clash = session.clash(conditions, weights, some)
    if clash is None:
        return None
    mends = mends_of(session.wanted(conditions), clash, weights, some, transposed)
    return clash, replace(mends, found=tuple(besides(mend, octaves) for mend in mends.found))


def besides(mend: Mend, octaves: Octaves) -> Mend:
    """The mend, what is to be typed for it said in full where octaves were typed already."""
    from undersong.mends.mend import Kind

    if mend.kind is not Kind.OCTAVE or not octaves:
        return mend
    told = [part.removeprefix("--octave ") for part in mend.option.split(" --octave ")]
    pairs = [(bars, int(by)) for bars, _, by in (part.rpartition("=") for part in told)]
    moved: dict[str, int] = {}
    for bars, by in (*octaves, *pairs):
        moved[bars] = moved.get(bars, 0) + by
    typed = " ".join(f"--octave {bars}={by}" for bars, by in moved.items() if by)
    option = typed or "leave --octave out"
    return replace(mend, idea=replace(mend.idea, words=f"{mend.words} than asked", option=option))


def say_mends(mends: Mends, most: int) -> None:
    """One line each on stderr, and honestly whether everything was tried."""
    shown: tuple[Mend, ...] = mends.best(most)
    for mend in shown:
        say(f"mend: {mend}")
    if mends.untried:
        changes = many(mends.untried, "more change")
        say(
            f"{changes} could not be tried to the end; 'undersong mends' with a longer "
            "--time-limit tries them"
        )
    elif not mends.found:
        tried = (
            "the only change that was tried does not mend it"
            if mends.tried == 1
            else f"none of the {mends.tried} changes that were tried mends it by itself"
        )
        say(tried)


@dataclass(frozen=True)
class Cannot:
    """sentence: why it cannot be arranged; found: what clashes and what mends, None where there
    was no time, or nothing was found; told: the sentence says already what clashes."""

    sentence: str
    found: tuple[Clash, Mends] | None
    told: bool = False


def cannot(
    error: Exception,
    session: Session,
    conditions: Conditions,
    weights: Weights,
    transposed: int,
    watch: Watch,
    octaves: Octaves = (),
) -> Cannot:
    """What is to be said when the search ended with that error."""
    from solver.watch import OutOfTime

    try:
        found = looked_for(session, conditions, weights, transposed, watch, octaves=octaves)
    except OutOfTime:
        return Cannot(str(error), None)
    told = found is not None and _is_told(error, found[0], session)
    return Cannot(str(error), found, told)


def _is_told(error: Exception, clash: Clash, session: Session) -> bool:
    """Whether a clash of one demand says no more than the error does.

    A chord's root or a pin that clashes with nothing else is what a refusal of its bar names; one
    condition over the whole tune is named where the same proof ended the search.
    """
    from solver.errors import NotPlayable

    if len(clash.demands) != 1:
        return False
    if not clash.kept:
        return bool(clash.reason) and clash.reason == str(error)
    if clash.kept[0].kind not in ("root", "pin") or not isinstance(error, NotPlayable):
        return False
    tune = session.tune
    return clash.bars == (tune.bars[tune.played[error.bar - 1].written].number,)


def say_cannot(outcome: Cannot, otherwise: Iterable[str] = ()) -> None:
    """The sentence, what clashes where that says more, and the mends; otherwise: what else may
    mend it, which was not tried."""
    say(outcome.sentence)
    for clause in otherwise:
        say(f"note: {clause}")
    if outcome.found is not None:
        clash, mends = outcome.found
        if not outcome.told:
            say(f"clash: {clash}")
        say_mends(mends, SHOWN)
