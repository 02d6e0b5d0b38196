"""What a page says of the bass: its manner, and where the tune leaves no room for that.

Public: bass_words.
"""

from collections.abc import Iterable

from solver.manners import MANNERS
from solver.result import Arrangement
from tune.bar_names import bars_named
from undersong.wording import listed

_NAMES = {
    "root": "the root",
    "slash bass": "the note after the slash",
    "fifth": "the fifth",
    "alternate fourth": "the fourth",
    "octave": "the octave",
}
"""Roles that answer one another → their words, in the order in which they are told."""


def bass_words(arrangement: Arrangement) -> str:
    """``figure: root, fifth and octave …; the root stands in for the octave in bars 1, 3``, or that
    this tune has no more than a root to each chord."""
    manner = arrangement.style.manner
    told = f"{manner}: {MANNERS[manner][0]}"
    roles = {choice.role for choice in arrangement.choices if choice.struck[0] and choice.role}
    if manner in ("held", "roots"):
        return told
    if roles <= {"root", "slash bass"}:
        return f"{told}; in this tune the root alone"
    missed = [
        (moment, choice.role)
        for moment, choice in zip(arrangement.moments, arrangement.choices, strict=True)
        if choice.struck[0] and choice.role in moment.fallback - moment.roles
    ]
    if not missed:
        return told
    asked = _named(role for moment, _ in missed for role in moment.roles)
    there = _named(role for _, role in missed if role)
    stands = "stand" if " and " in there else "stands"
    bars = bars_named(arrangement.tune.bars[moment.written].number for moment, _ in missed)
    return f"{told}; {there} {stands} in for {asked} in {bars}"


def _named(roles: Iterable[str]) -> str:
    found = set(roles)
    return listed([words for role, words in _NAMES.items() if role in found])
