"""Where shapes without bar lines stand, by the chord names that were typed over or under them.

The names are looked for in the tune's chords, where they change and as they are written: one after
another without a gap; else in order with gaps; else, as in a list of the shapes of a tune, each at
the first place of its chord.

Public: by_chord_names, fits, Change.
"""

from collections.abc import Sequence
from itertools import pairwise

from tune.chord import Chord, parse_chord

Place = tuple[int, int]
"""A played bar's number, and a tick in it."""

Change = tuple[Place, Chord]
"""Where a chord begins."""

MOST_COMPARED = 1_000_000
"""Names times changes: beyond that they are not looked for."""


def by_chord_names(
    names: Sequence[str],
    lists: Sequence[Sequence[Change]],
    as_played: Sequence[Sequence[Change]] = (),
) -> list[tuple[int, Place]] | None:
    """(number of the shape, its place) in playing order; None where not every shape has a name
    that the tune has. lists: the tune's changes, each bar once; as_played: the same with its
    repeats followed. The list is taken that leaves the fewest gaps, one as it is played where it
    leaves two fewer; the first of equals."""
    if not names or not all(names):
        return None
    wanted = [parse_chord(name) for name in names]
    every = [(0, changes) for changes in lists] + [(1, changes) for changes in as_played]
    small = [pair for pair in every if len(wanted) * len(pair[1]) <= MOST_COMPARED]
    for way in (_best_order, _each):
        ways = [
            (_gaps(found) + more, found, changes)
            for more, changes in small
            if (found := way(wanted, changes)) is not None
        ]
        if ways:
            _, found, changes = min(ways, key=lambda one: one[0])
            return [(number, changes[at][0]) for number, at in found]
    return None


def _best_order(wanted: list[Chord], changes: Sequence[Change]) -> list[tuple[int, int]] | None:
    """Without a gap, else with gaps."""
    return _together(wanted, changes) or _in_order(wanted, changes)


def _gaps(found: Sequence[tuple[int, int]]) -> int:
    """How often something of the list is left out between two of the shapes."""
    return sum(after - before > 1 for (_, before), (_, after) in pairwise(found))


def fits(name: Chord, chord: Chord) -> int:
    """2 where they are the same, 1 where root and third are, such as D and D7 or D/F#, else 0."""
    if name == chord:
        return 2
    return int(
        name.degrees["root"] == chord.degrees["root"]
        and name.degrees.get("third") == chord.degrees.get("third")
    )


def _together(wanted: list[Chord], changes: Sequence[Change]) -> list[tuple[int, int]] | None:
    """(shape, change) without a gap, where they fit best, the first of equals."""
    best, start = 0, -1
    for at in range(len(changes) - len(wanted) + 1):
        scores = [fits(name, changes[at + n][1]) for n, name in enumerate(wanted)]
        if all(scores) and sum(scores) > best:
            best, start = sum(scores), at
    return None if start < 0 else [(n, start + n) for n in range(len(wanted))]


def _in_order(wanted: list[Chord], changes: Sequence[Change]) -> list[tuple[int, int]] | None:
    """The same with gaps: the best fit of all, each as early as that allows."""
    none = -1
    best = [0] * (len(changes) + 1)  # of no names, from each change on
    takes: list[list[bool]] = []
    for name in reversed(wanted):
        more = [none] * (len(changes) + 1)
        take = [False] * len(changes)
        for at in range(len(changes) - 1, -1, -1):
            score = fits(name, changes[at][1])
            here = score + best[at + 1] if score and best[at + 1] != none else none
            take[at] = here != none and here >= more[at + 1]
            more[at] = max(here, more[at + 1])
        best = more
        takes.insert(0, take)
    if best[0] == none:
        return None
    found, at = [], 0
    for number, take in enumerate(takes):
        at = take.index(True, at)
        found.append((number, at))
        at += 1
    return found


def _each(wanted: list[Chord], changes: Sequence[Change]) -> list[tuple[int, int]] | None:
    """Each at the first place that has its chord, or one much like it."""
    found: dict[int, int] = {}
    for number, name in enumerate(wanted):
        scores = [fits(name, chord) for _, chord in changes]
        most = max(scores, default=0)
        at = scores.index(most) if most else -1
        if at < 0 or at in found:
            return None
        found[at] = number
    return [(found[at], at) for at in sorted(found)]
