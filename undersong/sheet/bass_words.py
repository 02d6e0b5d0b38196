"""What a page says of the bass: its manner, and where the tune leaves no room for that.

Public: bass_words.
"""

from collections.abc import Iterable, Iterator, Sequence

from scoring.moment import Moment
from solver.manners import MANNERS
from solver.result import Arrangement
from tune.bar_names import bars_named
from undersong.sheet.bass_names import shown_role
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

ANSWERED = ("alternating", "alternating-fourth", "figure")
"""Manners in which something answers the root."""

_Missed = tuple[Moment, str]
"""A moment, and what the bass note that stands in there for what is asked is to its chord."""


def bass_words(arrangement: Arrangement) -> str:
    """``figure: root, fifth and octave …; the root stands in for the octave in bars 1, 3``, or that
    this tune has no more than a root to each chord; of runs where they leap into the next root, of
    a solo where the open string rings, and whether the close is the root."""
    manner = arrangement.style.manner
    told = f"{manner}: {MANNERS[manner][0]}"
    roles = {choice.role for choice in arrangement.choices if choice.struck[0] and choice.role}
    if roles <= _ROOTS:
        alone = "" if manner in ("held", "roots") else "; in this tune the root alone"
        return told + alone
    missed = list(_missed(arrangement))
    parts = [_roots(arrangement, missed), _open(arrangement, missed), _leaps(arrangement)]
    return "; ".join(filter(None, (told + _close(arrangement), *parts)))


def _missed(arrangement: Arrangement) -> Iterator[_Missed]:
    """Bass notes that are not what is asked, by what they are in their chord."""
    for moment, choice in zip(arrangement.moments, arrangement.choices, strict=True):
        if choice.struck[0] and choice.role in moment.fallback - moment.roles:
            role = shown_role(moment, choice, arrangement.instrument)
            if role is not None and role not in moment.roles:
                yield moment, role


def _roots(arrangement: Arrangement, missed: Sequence[_Missed]) -> str:
    """Where the root stands in for what should answer it; nothing where it does not."""
    roots = [(moment, role) for moment, role in missed if role in _ROOTS]
    if not roots:
        return ""
    asked = _named(role for moment, _ in roots for role in moment.roles)
    there = _named(role for _, role in roots)
    stands = "stand" if " and " in there else "stands"
    bars = _bars(arrangement, (moment for moment, _ in roots))
    return f"{there} {stands} in for {asked} in {bars}"


def _open(arrangement: Arrangement, missed: Sequence[_Missed]) -> str:
    """Where the bass string rings open, whatever the chord, since nothing better is in reach under
    the melody; nothing where it does not."""
    drones = [moment for moment, role in missed if role not in (*_ROOTS, "melody")]
    if not drones:
        return ""
    return f"the open string rings instead in {_bars(arrangement, drones)}"


def _leaps(arrangement: Arrangement) -> str:
    """After which bars a run does not go by step into the next root, as the scoring room counts
    it; nothing where all do."""
    moments = arrangement.moments
    counted = zip(moments[:-1], moments[1:], arrangement.bill.amounts[1:], strict=True)
    leaps = [
        before for before, moment, amounts in counted if moment.change and amounts.get("broken-run")
    ]
    return f"a leap into the next root after {_bars(arrangement, leaps)}" if leaps else ""


def _close(arrangement: Arrangement) -> str:
    """Whether the last chord ends on its root where the manner would answer it; nothing where that
    chord has one bass note alone."""
    if arrangement.style.manner not in ANSWERED:
        return ""
    last: list[tuple[Moment, str]] = []
    for moment, choice in zip(arrangement.moments, arrangement.choices, strict=True):
        if moment.change:
            last = []
        if choice.struck[0] and choice.role:
            last.append((moment, choice.role))
    if len(last) < 2 or not (last[-1][0].roles <= _ROOTS and last[-1][1] in _ROOTS):
        return ""
    return ", closing on the root"


def _bars(arrangement: Arrangement, moments: Iterable[Moment]) -> str:
    bars = arrangement.tune.bars
    return bars_named(bars[moment.written].number for moment in moments)


def _named(roles: Iterable[str]) -> str:
    found = set(roles)
    return listed([words for role, words in _NAMES.items() if role in found])
