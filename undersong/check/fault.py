"""A fault: one place where an arrangement breaks a rule of playing.

Public: Fault, RULES.
"""

from dataclasses import dataclass
from types import MappingProxyType

from tune.time import quarters

RULES: MappingProxyType[str, str] = MappingProxyType(
    {
        "time": "every moment begins where the tune, the manner or the right hand asks, and lasts "
        "until the next",
        "asked": "what a moment says of chord, beat and stroke is what the tune and the style say",
        "fret": "frets exist under their string, above the capo and below the ceiling",
        "finger": "a stopped string has one finger, an open or silent one none",
        "chord tone": "a string struck above the bass sounds a tone of the chord",
        "role": "a bass note is what it is called",
        "foreign note": "a bass note foreign to the chord is of the key, on a weak beat, and led "
        "there and on as its kind asks",
        "root": "a chord begins with its root (or slash bass) in the bass",
        "manner": "the bass keeps what its manner promises",
        "ending": "each time through, the last bar ends on the root",
        "melody": "every melody note sounds at its pitch from its beginning to its end, and "
        "the melody string is silent in its rests",
        "on top": "nothing sounds above the melody of a solo",
        "drone": "a drone's other strings are open and ring from the first note to the end",
        "alone": "a bass part sounds the bass string alone",
        "lowest": "no string sounds below the bass",
        "order": "the finger nearer the thumb stops the higher fret",
        "barring": "a finger lies across strings only where it may and can",
        "reach": "two fingertips are no further apart than the hand stretches",
        "not used": "a finger that is not to be used is not used",
        "thumb": "a thumb that keeps off the bass string does not stop it",
        "noter": "a noter stops the melody string and no other",
        "place": "the hand is where its fingers put it",
        "ringing": "a string rings on only as it was struck and held",
        "damping": "a damped bass note is silent after its moment",
        "rest": "where no chord is, nothing sounds",
        "right hand": "the strings struck are those of the pattern",
        "alike": "what comes again is played with the same hands, where that was asked",
        "shapes": "no more shapes, and no others, than were asked for",
        "quota": "what was asked to be counted is neither too often nor too seldom",
        "limits": "no moment goes beyond what it was to hold by itself",
        "pin": "what the player fixed is so, and what was forbidden is not",
        "cost": "the cost, counted again, asked prices included, is the one the proof speaks of",
    }
)
"""Rule → what it asks."""


@dataclass(frozen=True)
class Fault:
    """bar: as played, from 1, 0 for the whole tune; offset: ticks from the start of the bar;
    rule: a key of ``RULES``; message: one sentence for a player."""

    bar: int
    offset: int
    rule: str
    message: str

    def __post_init__(self) -> None:
        if self.rule not in RULES:
            raise ValueError(f"{self.rule!r} is no rule; the rules are {', '.join(RULES)}")

    def __str__(self) -> str:
        if self.bar == 0:
            return self.message
        if self.offset == 0:
            return f"bar {self.bar}: {self.message}"
        count = quarters(self.offset)
        noun = "quarter" if count <= 1 else "quarters"
        return f"bar {self.bar}, {count} {noun} in: {self.message}"
