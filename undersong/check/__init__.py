"""The checker: whether an arrangement can be played and is what was asked for.

It works out from the tune, the style, the instrument and the hand what each rule asks, and shares
no code with the search: not its moments, grips, states or model. Only cost and difficulty come
from ``scoring``, whose terms have tests of their own. Times are ticks, lengths millimetres.

Public: check, Fault, RULES.
"""

from collections.abc import Callable, Iterable, Iterator

from solver.errors import StyleError
from solver.result import Arrangement
from undersong.check.asks import asks_of, has_manners
from undersong.check.bass import bass_true
from undersong.check.conditions import conditions_cost, conditions_true
from undersong.check.fault import RULES, Fault
from undersong.check.hand import hand_able
from undersong.check.manners import manners_meant
from undersong.check.passage import Passage
from undersong.check.pitches import bass_lowest, chord_tones, frets_exist
from undersong.check.rhythm import moments_true, times_right
from undersong.check.ringing import right_hand_true, rings_true
from undersong.check.solo import melody_on_top, solo_struck, solo_tones
from undersong.check.sung import melody_kept
from undersong.check.unaccompanied import bass_alone, drone_true

__all__ = ["RULES", "Fault", "check"]

_Family = Callable[[Passage], Iterable[Fault]]
_ALWAYS: tuple[_Family, ...] = (moments_true, frets_exist, hand_able, rings_true)
_FAMILIES: dict[str, tuple[_Family, ...]] = {
    "song": (*_ALWAYS, chord_tones, bass_true, bass_lowest, right_hand_true),
    "solo": (
        *_ALWAYS, solo_tones, bass_true, bass_lowest, solo_struck, melody_kept, melody_on_top,
    ),
    "bass": (*_ALWAYS, bass_true, bass_alone, right_hand_true),
    "drone": (*_ALWAYS, drone_true, right_hand_true, melody_kept),
}  # fmt: skip
"""Texture → the rules that it must keep."""
_NOT_COUNTED = ("fret", "finger")
"""Rules without which no move can be timed, so that neither cost nor shifts can be counted."""


def check(arrangement: Arrangement) -> tuple[Fault, ...]:
    """Every fault, in the order of playing, what concerns the whole tune last; nothing when the
    arrangement is sound.

    Where moments do not lie as the tune asks, that is all that is said: no other rule can be
    judged before it is mended.
    """
    try:
        asks = asks_of(
            arrangement.tune,
            arrangement.style,
            len(arrangement.instrument.courses),
            manners_meant(arrangement.tune, arrangement.conditions),
        )
    except StyleError as error:
        return (Fault(0, 0, _refused(arrangement), str(error)),)
    early = tuple(_strings_counted(arrangement)) or tuple(times_right(arrangement, asks))
    if early:
        return early
    passage = Passage(arrangement, asks)
    faults = [fault for family in _FAMILIES[passage.texture] for fault in family(passage)]
    if not any(fault.rule in _NOT_COUNTED for fault in faults):
        faults += [*conditions_true(passage), *_cost(arrangement)]
    return tuple(sorted(faults, key=lambda fault: (fault.bar == 0, fault.bar, fault.offset)))


def _refused(arrangement: Arrangement) -> str:
    """The rule that leaves nothing to ask: a texture has not every manner, a pattern not every
    metre."""
    style, asked = arrangement.style, manners_meant(arrangement.tune, arrangement.conditions)
    return "right hand" if has_manners(style, asked.values()) else "manner"


def _strings_counted(arrangement: Arrangement) -> Iterator[Fault]:
    """Each choice speaks of as many strings as the instrument has."""
    courses = len(arrangement.instrument.courses)
    for moment, choice in zip(arrangement.moments, arrangement.choices, strict=True):
        if len(choice.grip.frets) != courses or len(choice.struck) != courses:
            yield Fault(
                moment.bar,
                moment.offset,
                "fret",
                f"the instrument has {courses} strings, and the choice speaks of another number",
            )


def _cost(arrangement: Arrangement) -> Iterator[Fault]:
    """The cost, with all that the conditions put a price on, is the proof's bound and the gap
    above it."""
    proof, work, more = arrangement.proof, arrangement.cost, conditions_cost(arrangement)
    if work + more != proof.bound + proof.gap:
        costs = f"{work} ms and {more} ms for what was asked" if more else f"{work} ms"
        yield Fault(
            0,
            0,
            "cost",
            f"the arrangement costs {costs}, and its proof speaks of {proof.bound} ms and a gap "
            f"of {proof.gap} ms",
        )
