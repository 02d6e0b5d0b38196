"""How many bars of the bundled tunes' answers depend on whose movement constants one believes.

Published slopes of Fitts's law differ by 2 to 13 times, by study and by what part of the arm moves
(all figures from memory): Fitts 1954 about 100 ms a bit for the arm; Langolf, Chaffin & Foulke 1976
arm 105, wrist 43, finger 26; Balakrishnan & MacKenzie 1997, as reciprocals of their bits a second,
wrist about 244 and one finger alone about 330. So the hand's slope goes from 43 to 244 (100 where
nothing is said), the finger's from 26 to 330 (45 where nothing is said), each alone and then both.

For each tune: the bars as played in which the best answer is fretted or struck otherwise than with
the constants as they stand, least, median and most over the six changes, and behind it each; below
it the same where other fingers count too. The Vicar's Piano is left out, since its E flat is not on
the instrument. There is no target: it is told so that a player knows how far the answers hang on
the constants. Every answer is proven.
"""

from dataclasses import replace

import corpus
from benchmarks.rows import Row
from fretboard.hand import Movement
from fretboard.presets import hand
from solver.result import PROVEN, Arrangement
from solver.style import Style
from solver.watch import Watch
from undersong.compared import bars_apart
from undersong.session import Session

MANNERS = ("alternating", "walking")
LEFT_OUT = "the-vicars-piano"
LONGEST = 600.0
HAND_LOW, HAND_HIGH = 43, 244
FINGER_LOW, FINGER_HIGH = 26, 330
AS_IT_STANDS = Movement()
CHANGES = {
    "hand slow": replace(AS_IT_STANDS, hand_b=HAND_HIGH),
    "hand quick": replace(AS_IT_STANDS, hand_b=HAND_LOW),
    "finger slow": replace(AS_IT_STANDS, finger_b=FINGER_HIGH),
    "finger quick": replace(AS_IT_STANDS, finger_b=FINGER_LOW),
    "both slow": replace(AS_IT_STANDS, hand_b=HAND_HIGH, finger_b=FINGER_HIGH),
    "both quick": replace(AS_IT_STANDS, hand_b=HAND_LOW, finger_b=FINGER_LOW),
}


def run(tunes: tuple[str, ...] | None = None, manners: tuple[str, ...] = MANNERS) -> list[Row]:
    names = [name for name in corpus.names() if name != LEFT_OUT] if tunes is None else tunes
    return [row for manner in manners for name in names for row in _rows(name, manner)]


def _rows(tune: str, manner: str) -> list[Row]:
    best = _best(tune, manner, AS_IT_STANDS)
    others = {name: _best(tune, manner, movement) for name, movement in CHANGES.items()}
    bars = best.moments[-1].bar
    fretted = {name: len(bars_apart(best, other)) for name, other in others.items()}
    anything = tuple(_bars_with_other_hands(best, other) for other in others.values())
    each = ", ".join(f"{name} {count}" for name, count in fretted.items())
    title = f"{tune}, {manner}, {bars} bars"
    return [
        Row(title, tuple(fretted.values()), "bars", note=each),
        Row("  other fingers too", anything, "bars"),
    ]


def _best(tune: str, manner: str, movement: Movement) -> Arrangement:
    player = replace(hand(), movement=movement)
    found = Session(tune, hand=player, style=Style(manner)).arrange(watch=Watch(LONGEST))
    if found.proof.status != PROVEN:
        raise SystemExit(f"{tune}, {manner}: an answer was not proven")
    return found


def _bars_with_other_hands(one: Arrangement, other: Arrangement) -> int:
    """Played bars in which fret, finger, stroke, or where the hand lies is another."""
    return len(
        {
            moment.bar
            for moment, here, there in zip(one.moments, one.choices, other.choices, strict=True)
            if (here.grip, here.struck) != (there.grip, there.struck)
        }
    )
