"""What a page says of the bass: its manner, and where the tune leaves no room for that.

Public: bass_words.
"""

from collections.abc import Iterable, Sequence

from scoring.moment import Moment
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

_ROOTS = {"root", "slash bass"}

Missed = tuple[Moment, str]
"""A moment, and the role of the bass note that stands in there for what is asked."""


def bass_words(arrangement: Arrangement) -> str:
    """``figure: root, fifth and octave …; the root stands in for the octave in bars 1, 3``, or that
    this tune has no more than a root to each chord; in a solo, where the open string rings."""
    manner = arrangement.style.manner
    told = f"{manner}: {MANNERS[manner][0]}"
    roles = {choice.role for choice in arrangement.choices if choice.struck[0] and choice.role}
    if roles <= _ROOTS:
        alone = "" if manner in ("held", "roots") else "; in this tune the root alone"
        return told + alone
    missed = [
        (moment, choice.role)
        for moment, choice in zip(arrangement.moments, arrangement.choices, strict=True)
        if choice.struck[0] and choice.role in moment.fallback - moment.roles
    ]
    return "; ".join(filter(None, (told, _roots(arrangement, missed), _open(arrangement, missed))))


def _roots(arrangement: Arrangement, missed: Sequence[Missed]) -> str:
    """Where the root stands in for what should answer it; nothing where it does not."""
    roots = [(moment, role) for moment, role in missed if role in _ROOTS]
    if not roots:
        return ""
    asked = _named(role for moment, _ in roots for role in moment.roles)
    there = _named(role for _, role in roots)
    stands = "stand" if " and " in there else "stands"
    return f"{there} {stands} in for {asked} in {_bars(arrangement, roots)}"


def _open(arrangement: Arrangement, missed: Sequence[Missed]) -> str:
    """Where the bass string rings open, whatever the chord, since nothing better is in reach under
    the melody; nothing where it does not."""
    drones = [(moment, role) for moment, role in missed if role == "drone"]
    if not drones:
        return ""
    return f"the open string stands in, whatever the chord, in {_bars(arrangement, drones)}"


def _bars(arrangement: Arrangement, missed: Sequence[Missed]) -> str:
    bars = arrangement.tune.bars
    return bars_named(bars[moment.written].number for moment, _ in missed)


def _named(roles: Iterable[str]) -> str:
    found = set(roles)
    return listed([words for role, words in _NAMES.items() if role in found])
