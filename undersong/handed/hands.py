"""Whether a hand can stop what a tab asks for, and why it cannot.

Public: hand_trouble, finger_trouble, beyond_reach.
"""

from dataclasses import replace
from itertools import combinations

from fretboard.fingering import fingerings, reach
from fretboard.grip import Grip
from fretboard.hand import FINGERS, Hand
from fretboard.instrument import Instrument
from undersong.check.hand import finger_faults

ENDLESS = 100_000
"""Tenths of a mm: no two frets are that far apart."""

Frets = tuple[int, ...]


def hand_trouble(frets: Frets, instrument: Instrument, hand: Hand) -> str:
    """Why this hand cannot stop those frets (-1: silent, or not known) at once; empty where it
    can."""
    if not any(fret > instrument.capo for fret in frets) or fingerings(frets, instrument, hand):
        return ""
    if hand.noter:
        return "a noter stops one fret of the melody string and nothing else"
    told = beyond_reach(frets, instrument, hand)
    if told:
        percent, pair = told
        return (
            f"{pair} would have to reach {percent} % of the greatest stretch of the hand "
            f"{hand.name}"
        )
    barring = replace(hand, may_bar=FINGERS)
    if fingerings(frets, instrument, barring):
        may = " ".join(hand.may_bar) or "no finger"
        return f"a finger would have to lie across strings, and of this hand {may} may"
    told = beyond_reach(frets, instrument, barring)
    if told:
        return f"it needs a finger across strings and {told[0]} % of this hand's greatest stretch"
    if not hand.thumb_on_bass and fingerings(
        frets, instrument, replace(hand, thumb_on_bass=True, greatest=endless_reach(hand))
    ):
        return "it needs the thumb on the bass string, which this hand keeps it off"
    if hand.not_used:
        return f"it needs a finger that this hand does not use ({' '.join(hand.not_used)})"
    return "no fingers in their order along the neck can stop it"


def beyond_reach(frets: Frets, instrument: Instrument, hand: Hand) -> tuple[int, str] | None:
    """(percent of the greatest stretch, the fingers) that the easiest fingering would need of a
    hand that stretches without end; None where not even that helps."""
    endless = replace(hand, greatest=endless_reach(hand))
    best: tuple[int, str] | None = None
    for grip in fingerings(frets, instrument, endless):
        worst = max(_stretches(grip, instrument, hand), default=None)
        if worst is not None and (best is None or worst[0] < best[0]):
            best = worst
    return best


def endless_reach(hand: Hand) -> dict[tuple[int, int], int]:
    """The reach of a hand that stretches without end."""
    return dict.fromkeys(hand.greatest, ENDLESS)


def _stretches(grip: Grip, instrument: Instrument, hand: Hand) -> list[tuple[int, str]]:
    """(percent, fingers) of every two fingers that are down."""
    down = [course for course, finger in enumerate(grip.fingers) if finger >= 0]
    found = []
    for one, other in combinations(down, 2):
        first, second = sorted((grip.fingers[one], grip.fingers[other]))
        if first != second:
            apart = reach(instrument, one, grip.frets[one], other, grip.frets[other])
            percent = -(-100 * apart // hand.greatest[first, second])
            found.append((percent, f"{FINGERS[first]} and {FINGERS[second]}"))
    return found


def finger_trouble(
    frets: tuple[int | None, ...],
    fingers: tuple[int | None, ...],
    instrument: Instrument,
    hand: Hand,
) -> tuple[tuple[str, str], ...]:
    """(rule, sentence) for what the fingers that are written cannot do."""
    sounding = tuple(-1 if fret is None else fret for fret in frets)
    down = tuple(
        finger if finger is not None and fret > instrument.capo else -1
        for fret, finger in zip(sounding, fingers, strict=True)
    )
    return tuple(finger_faults(Grip(sounding, down, 0), instrument, hand))
