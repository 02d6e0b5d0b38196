"""A hand could do it: fingers in order, within reach, laid across only where that works.

Distances are worked out here from the scale length, L(1 − 2^(−s/12)), in tenths of a millimetre.
The program elsewhere keeps whole tenths: two places and their distance may each be half a tenth
off, hence ``TOLERANCE``. A hand's place is told to the centimetre, hence ``PLACE_TOLERANCE``.

Public: hand_able, finger_faults, along.
"""

from collections.abc import Iterator
from itertools import combinations
from math import hypot

from fretboard.grip import Grip
from fretboard.hand import FINGERS, Hand
from fretboard.instrument import Instrument
from undersong.check.fault import Fault
from undersong.check.passage import Passage

TOLERANCE = 1.5
PLACE_TOLERANCE = 55


def hand_able(passage: Passage) -> Iterator[Fault]:
    """Every grip is one that the hand can take. Grips that come again are looked at once."""
    known: dict[Grip, list[tuple[str, str]]] = {}
    instrument, hand = passage.arrangement.instrument, passage.arrangement.hand
    for index, choice in enumerate(passage.choices):
        grip = choice.grip
        if grip not in known:
            known[grip] = [*finger_faults(grip, instrument, hand), *_place(grip, instrument, hand)]
        for rule, message in known[grip]:
            yield passage.fault(index, rule, message)


def along(instrument: Instrument, fret: int) -> float:
    """Tenths of a mm from the nut to the fret."""
    return float(10 * instrument.scale_mm * (1 - 2 ** (-fret / 12)))


def finger_faults(grip: Grip, instrument: Instrument, hand: Hand) -> Iterator[tuple[str, str]]:
    """(rule, message) for everything that the fingers that are down cannot do."""
    for finger in sorted(set(grip.fingers) - {-1}):
        if FINGERS[finger] in hand.not_used:
            yield "not used", f"{FINGERS[finger]} is in use, which this hand leaves out"
    stopped = [course for course, finger in enumerate(grip.fingers) if finger >= 0]
    if hand.noter and any(course + 1 < len(grip.frets) for course in stopped):
        yield "noter", "a noter stops the melody string only, and another string is stopped here"
    if not hand.thumb_on_bass and grip.fingers[0] == 0:
        yield "thumb", "T stops the bass string, which this hand keeps its thumb off"
    for one, other in combinations(stopped, 2):
        first, second = grip.fingers[one], grip.fingers[other]
        low, high = grip.frets[one], grip.frets[other]
        if first == second:
            yield from _laid_across(grip, one, other, hand)
            continue
        names = f"{FINGERS[first]} and {FINGERS[second]}"
        if (low - high) * (first - second) > 0:
            yield "order", f"{names} would have to cross"
        lengthwise = along(instrument, low) - along(instrument, high)
        apart = hypot(lengthwise, 10 * instrument.spacing_mm * (other - one))
        greatest = hand.greatest[min(first, second), max(first, second)]
        if apart > greatest + TOLERANCE:
            yield (
                "reach",
                f"{names} are {apart / 10:.0f} mm apart, and this hand stretches "
                f"{greatest / 10:.0f} mm between them",
            )


def _laid_across(grip: Grip, one: int, other: int, hand: Hand) -> Iterator[tuple[str, str]]:
    name = FINGERS[grip.fingers[one]]
    fret = grip.frets[one]
    if grip.frets[other] != fret:
        yield "barring", f"{name} would have to stop two frets at once"
    elif name not in hand.may_bar:
        yield "barring", f"{name} lies across several strings, which this hand does not do"
    elif any(0 <= between < fret for between in grip.frets[one + 1 : other]):
        yield "barring", f"{name} lies across a string that sounds at a lower fret"
    elif any(
        grip.frets[between] == fret and grip.fingers[between] != grip.fingers[one]
        for between in range(one + 1, other)
    ):
        yield "barring", f"{name} lies already where another finger is put down"


def _place(grip: Grip, instrument: Instrument, hand: Hand) -> Iterator[tuple[str, str]]:
    """The index finger is, or would be, where some finger that is down puts it; a hand with no
    finger down waits somewhere along the strings."""
    least, most = 0.0, 10 * instrument.scale_mm
    puts = [
        max(along(instrument, fret) - hand.offset(finger), 0.0)
        for fret, finger in zip(grip.frets, grip.fingers, strict=True)
        if finger >= 0
    ]
    if puts:
        least, most = min(puts), max(puts)
    if grip.place < 0 or not least - PLACE_TOLERANCE <= 10 * grip.place <= most + PLACE_TOLERANCE:
        yield "place", f"the hand cannot be {grip.place} mm from the nut with these fingers down"
