"""Which chords a mode offers a tune that comes as melody alone, and what each does there.

A mode's own primary chords first; more by choice: ``secondary`` (the other chords of the scale),
``sevenths`` (the dominant's, and the second's where that is offered) and ``applied`` (major chords
on degrees that lead to another chord as its own fifth). What stands for a cadence in major and
minor is textbook matter (*Open Music Theory*, "The phrase model", from memory); in the other modes
the chords are those that players of old tunes take: common practice, no source.

Public: Offer, offers, MORE, DOMINANT, PLAGAL, TONIC, OTHER.
"""

from collections.abc import Collection
from dataclasses import dataclass, replace
from types import MappingProxyType

from tune.chord import Chord, pitch_class
from tune.errors import TuneError
from tune.key import Key, note_name

TONIC, DOMINANT, PLAGAL, OTHER = "tonic", "dominant", "plagal", "other"
MORE: MappingProxyType[str, str] = MappingProxyType(
    {
        "secondary": "the other chords of the scale",
        "sevenths": "the seventh of the chord on the fifth, and on the second if offered",
        "applied": "major chords that lead to another chord than the tonic",
    }
)
"""What may be offered beyond the primary chords, by the name that the player asks for it with."""

LEADING = 11
"""Semitones of the leading note above the tonic."""


@dataclass(frozen=True)
class Offer:
    """One chord that may be taken in a key.

    rank: 0 for a primary chord, more for a less usual one; part: what it does in a cadence, one of
    TONIC, DOMINANT (leads to the tonic), PLAGAL (leads there more softly) and OTHER; directed:
    the key is one in which a chord is expected to lead on to the fifth and not back from it;
    applied: it leads to another chord; bare: its own seventh chord is offered too;
    understood: a seventh that is heard with the chord though nobody plays it, as a pitch class.
    """

    chord: Chord
    rank: int
    part: str
    directed: bool = False
    applied: bool = False
    bare: bool = False
    understood: int | None = None


_Row = tuple[int, str, int, str]
"""Semitones of the root above the tonic, quality, rank, part."""

_PRIMARY: dict[str, tuple[_Row, ...]] = {
    "major": ((0, "", 0, TONIC), (5, "", 0, PLAGAL), (7, "", 0, DOMINANT)),
    "mixolydian": (
        (0, "", 0, TONIC),
        (10, "", 0, DOMINANT),
        (5, "", 0, PLAGAL),
        (7, "m", 1, DOMINANT),
    ),
    "dorian": (
        (0, "m", 0, TONIC),
        (10, "", 0, DOMINANT),
        (5, "", 0, PLAGAL),
        (7, "m", 1, DOMINANT),
    ),
    "minor": (
        (0, "m", 0, TONIC),
        (10, "", 0, DOMINANT),
        (5, "m", 0, PLAGAL),
        (7, "m", 1, DOMINANT),
        (8, "", 0, PLAGAL),
        (3, "", 0, OTHER),
    ),
    "phrygian": (
        (0, "m", 0, TONIC),
        (1, "", 0, DOMINANT),
        (10, "m", 0, DOMINANT),
        (5, "m", 0, PLAGAL),
    ),
    "lydian": ((0, "", 0, TONIC), (2, "", 0, PLAGAL), (7, "", 0, DOMINANT)),
    "locrian": (
        (0, "dim", 0, TONIC),
        (1, "", 0, DOMINANT),
        (10, "m", 0, DOMINANT),
        (5, "m", 0, PLAGAL),
    ),
}
_RAISED: _Row = (7, "", 0, DOMINANT)
"""The major chord on the fifth, for modes whose scale has none, where the melody itself has the
leading note."""

_LOWERED: _Row = (10, "", 0, DOMINANT)
"""The chord on the lowered seventh, for major, where the melody itself has that note."""

_MAJOR_FOURTH: _Row = (5, "", 0, PLAGAL)
"""The major chord on the fourth, for minor, where the melody itself has the raised sixth."""

_SECONDARY: dict[str, tuple[_Row, ...]] = {
    "major": ((9, "m", 1, OTHER), (2, "m", 1, PLAGAL), (4, "m", 2, OTHER)),
    "mixolydian": ((9, "m", 1, OTHER), (2, "m", 1, PLAGAL)),
    "dorian": ((3, "", 1, OTHER), (2, "m", 2, OTHER)),
    "phrygian": ((3, "", 1, OTHER), (8, "", 1, OTHER)),
    "lydian": ((9, "m", 1, OTHER), (4, "m", 2, OTHER), (11, "m", 2, OTHER)),
    "locrian": ((3, "m", 1, OTHER), (6, "", 1, OTHER), (8, "", 1, OTHER)),
}
_APPLIED: dict[str, tuple[_Row, ...]] = {
    "major": ((2, "", 2, OTHER), (9, "", 2, OTHER), (4, "", 2, OTHER)),
    "mixolydian": ((2, "", 2, OTHER),),
    "dorian": ((2, "", 2, OTHER),),
    "minor": ((2, "", 2, OTHER), (0, "", 2, OTHER)),
}


def offers(key: Key, sung: Collection[int], more: Collection[str] = ()) -> tuple[Offer, ...]:
    """The chords offered in ``key``, the tonic's first.

    sung: the pitch classes of the melody while that key lasts; more: names out of ``MORE``,
    TuneError for any other.
    """
    for name in more:
        if name not in MORE:
            raise TuneError(f"there are no {name!r} chords to add; choose of {', '.join(MORE)}")
    rows = _primary(key, sung)
    if "secondary" in more:
        rows += _SECONDARY.get(key.mode, ())
    directed = key.mode == "major" or (key.mode == "minor" and _RAISED in rows)
    found = [_offer(key, row, directed) for row in rows]
    if "applied" in more:
        found += [
            replace(_offer(key, row, directed), applied=True) for row in _APPLIED.get(key.mode, ())
        ]
    return tuple(_with_sevenths(found, key) if "sevenths" in more else found)


def _primary(key: Key, sung: Collection[int]) -> list[_Row]:
    """The mode's own chords, and those that notes of the melody from outside the scale bring."""
    tonic = pitch_class(key.tonic)
    degrees = {(pc - tonic) % 12 for pc in sung}
    rows = list(_PRIMARY[key.mode])
    if LEADING in degrees and _RAISED not in rows:
        rows = [_less_usual(row) if row[:2] == (7, "m") else row for row in rows]
        rows.insert(1, _RAISED)
    if key.mode == "major" and _LOWERED[0] in degrees:
        rows.append(_less_usual(_LOWERED) if LEADING in degrees else _LOWERED)
    if key.mode == "minor" and 9 in degrees:
        rows.append(_MAJOR_FOURTH)
    return rows


def _less_usual(row: _Row) -> _Row:
    up, quality, rank, part = row
    return up, quality, rank + 1, part


def _offer(key: Key, row: _Row, directed: bool) -> Offer:
    up, quality, rank, part = row
    root = note_name((pitch_class(key.tonic) + up) % 12, key)
    fifth = up == 7 and quality == "" and part == DOMINANT
    seventh = (pitch_class(root) + 10) % 12 if fifth else None
    return Offer(Chord(root, quality), rank, part, directed, understood=seventh)


def _with_sevenths(found: list[Offer], key: Key) -> list[Offer]:
    """The offers, each that can have one followed by its seventh chord."""
    tonic = pitch_class(key.tonic)
    done: list[Offer] = []
    for offer in found:
        up = (pitch_class(offer.chord.root) - tonic) % 12
        fifth = offer.understood is not None and key.mode != "lydian"
        if fifth or offer.applied:
            seventh = Chord(offer.chord.root, "7")
            done += [replace(offer, bare=fifth), replace(offer, chord=seventh)]
        elif up == 2 and offer.chord.quality == "m" and key.mode in ("major", "mixolydian"):
            done += [offer, replace(offer, chord=Chord(offer.chord.root, "m7"))]
        else:
            done.append(offer)
    return done
