"""Which fingers can stop given frets: every hand-playable grip for a set of frets.

Rules, all hard: the finger nearer the thumb stops the higher fret; two different fingers may take
equal frets on any two strings; one finger may lie across several strings at one fret when the hand
allows that finger to bar and no string between them sounds at a lower fret, nor is stopped at the
same one by another finger, where this one lies already; a thumb that the hand keeps off the bass
string does not stop it; two fingertips lie no further apart than the hand's greatest reach
(straight line, along and across); a noter stops the last course only. Common practice, no source,
except for the reach (see ``fretboard.hand``).

Public: fingerings, open_places, reach, untuned.
"""

from functools import lru_cache
from math import hypot

from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.instrument import Instrument

PLACE_STEP = 50
"""mm between the places where a hand with no finger down may wait: twice the default flex.

A hand's place is told to the centimetre, no more sharply than a hand is placed.
"""


_ANY_PITCH = 50
"""Of every string, where how they are tuned does not matter."""


def open_places(instrument: Instrument, highest: int) -> tuple[int, ...]:
    """Places (mm) where the index finger may wait up to the fret ``highest``, nut to bridge."""
    start = instrument.along(instrument.capo) // 100 * 10
    end = instrument.along(max(highest, instrument.capo + 1)) // 10
    return tuple(range(start + PLACE_STEP, end + PLACE_STEP, PLACE_STEP))


def fingerings(frets: tuple[int, ...], instrument: Instrument, hand: Hand) -> tuple[Grip, ...]:
    """Every playable grip with these frets (-1: not sounding), in order of finger numbers, however
    the strings are tuned.

    Empty when no string is stopped (such a grip waits at a place of its own, ``open_places``), or
    where the hand cannot stop them.
    """
    return _fingerings(frets, untuned(instrument), hand)


@lru_cache(maxsize=256)
def untuned(instrument: Instrument) -> Instrument:
    """The same fretboard for every tuning."""
    return instrument.with_tuning((_ANY_PITCH,) * len(instrument.courses))


@lru_cache(maxsize=65536)
def _fingerings(frets: tuple[int, ...], instrument: Instrument, hand: Hand) -> tuple[Grip, ...]:
    stopped = [course for course, fret in enumerate(frets) if fret > instrument.capo]
    grips: list[Grip] = []
    chosen: list[int] = []

    def extend(index: int) -> None:
        if index == len(stopped):
            grips.append(_grip(frets, stopped, chosen, instrument, hand))
            return
        for finger in hand.fingers:
            fits = hand.takes(finger, stopped[index]) and all(
                _lies(frets, stopped[other : index], chosen[other:], stopped[index], hand)
                if chosen[other] == finger
                else _together(frets, stopped[other], chosen[other], stopped[index], finger,
                               instrument, hand)
                for other in range(index)
            )  # fmt: skip
            if fits:
                chosen.append(finger)
                extend(index + 1)
                chosen.pop()

    if stopped and all(hand.stops(course, len(frets)) for course in stopped):
        extend(0)
    return tuple(grips)


def _together(
    frets: tuple[int, ...],
    course: int,
    finger: int,
    other_course: int,
    other_finger: int,
    instrument: Instrument,
    hand: Hand,
) -> bool:
    """Whether two different fingers can stop these two courses at once (``course`` <
    ``other_course``)."""
    fret, other_fret = frets[course], frets[other_course]
    if fret != other_fret and (fret > other_fret) != (finger < other_finger):
        return False
    pair = (min(finger, other_finger), max(finger, other_finger))
    return reach(instrument, course, fret, other_course, other_fret) <= hand.greatest[pair]


def _lies(
    frets: tuple[int, ...], stopped: list[int], chosen: list[int], last: int, hand: Hand
) -> bool:
    """Whether one finger can lie across from the first of the stopped courses to the ``last``,
    which comes after them; chosen: which fingers stop them, the first of them that one."""
    first, finger = stopped[0], chosen[0]
    fret = frets[first]
    return (
        frets[last] == fret
        and hand.bars(finger)
        and all(middle < 0 or middle >= fret for middle in frets[first + 1 : last])
        and all(
            frets[course] > fret or other == finger
            for course, other in zip(stopped, chosen, strict=True)
        )
    )


def reach(instrument: Instrument, course: int, fret: int, other: int, other_fret: int) -> int:
    """Tenths of a mm, straight line, between two stopped places."""
    along = instrument.along(fret) - instrument.along(other_fret)
    across = 10 * instrument.spacing_mm * (course - other)
    return round(hypot(along, across))


def _grip(
    frets: tuple[int, ...],
    stopped: list[int],
    chosen: list[int],
    instrument: Instrument,
    hand: Hand,
) -> Grip:
    fingers = [-1] * len(frets)
    for course, finger in zip(stopped, chosen, strict=True):
        fingers[course] = finger
    places = {
        finger: instrument.along(frets[course]) - hand.offset(finger)
        for course, finger in zip(stopped, chosen, strict=True)
    }
    place = 10 * round(sum(places.values()) / len(places) / 100)
    return Grip(frets, tuple(fingers), max(place, 0))
