"""The signs of the text tab, our own, and how words come through in plain ASCII.

A string's line is drawn solid while the string sounds and dotted while it is silent, so that a
glance shows how long a note is held. Finger letters are the trade's (T I M R P, from memory).

Public: Signs, ASCII, DRAWN, ROLE_SIGNS, ROLE_WORDS, FINGER_WORDS, finger_words, plain, ordinal.
"""

import unicodedata
from dataclasses import dataclass
from types import MappingProxyType

from fretboard.hand import FINGERS, NOTER, Hand


@dataclass(frozen=True)
class Signs:
    """sounds, silent: what a string's line is drawn with; bar: a bar line; repeat: the dots of a
    repeat sign; let_go, damped: where a sound is ended, by the left hand or the right palm."""

    sounds: str = "-"
    silent: str = "."
    bar: str = "|"
    repeat: str = ":"
    let_go: str = ")"
    damped: str = "*"
    crossed: str = "'"


ASCII = Signs()
DRAWN = Signs(sounds="─", silent="·", bar="│")

ROLE_SIGNS: MappingProxyType[str, str] = MappingProxyType(
    {
        "root": "=R",
        "slash bass": "=/",
        "second": "=2",
        "third": "=3",
        "fourth": "=4",
        "fifth": "=5",
        "sixth": "=6",
        "seventh": "=7",
        "ninth": "=9",
        "alternate fourth": "=4t",
        "octave": "=8",
        "passing": "=p",
        "neighbour": "=n",
        "approach": "=a",
        "drone": "=d",
        "melody": "=m",
    }
)
"""What stands for each bass role (``scoring.moment.ROLES``): after a sign that says ``is``, so that
no letter is taken for a finger or a string, and no figure for a fret."""

ROLE_WORDS: MappingProxyType[str, str] = MappingProxyType(
    {
        "root": "root",
        "slash bass": "the note after the slash",
        "alternate fourth": "the fourth, in turn with the root",
        "passing": "passing note",
        "neighbour": "neighbour note",
        "approach": "approach to the next root",
        "octave": "the root, an octave up",
        "drone": "open string, whatever the chord",
        "melody": "melody note on the bass string",
    }
)
"""What the legend says of a role, where it is not the role's own name."""

FINGER_WORDS = ("thumb", "index", "middle", "ring", "little finger")

_ALIKE = str.maketrans(
    {
        "’": "'", "‘": "'", "“": '"', "”": '"', "„": '"', "«": '"', "»": '"',
        "–": "-", "—": "-", "−": "-", "…": "...", "♯": "#", "♭": "b", "ß": "ss",
        "æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE", "ø": "o", "Ø": "O", "ł": "l", "Ł": "L",
        "đ": "d", "Đ": "D", "ð": "d", "þ": "th", "©": "(c)",
    }
)  # fmt: skip


_ENDINGS = {1: "st", 2: "nd", 3: "rd"}


def plain(text: str, unicode: bool = False) -> str:
    """Words of a tune on one line, every run of blanks or control signs one blank; in ASCII
    unless ``unicode``, accents left out and what has no likeness a question mark."""
    if not unicode:
        split = unicodedata.normalize("NFKD", text.translate(_ALIKE))
        kept = (char for char in split if not unicodedata.combining(char))
        text = "".join(kept).translate(_ALIKE).encode("ascii", "replace").decode("ascii")
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def finger_words(hand: Hand) -> dict[str, str]:
    """Letter → word for what the hand stops strings with, fingers that it leaves out aside."""
    if hand.noter:
        return {NOTER: "noter"}
    return {FINGERS[finger]: FINGER_WORDS[finger] for finger in hand.fingers}


def ordinal(number: int) -> str:
    """``1st``, ``2nd`` …"""
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    return f"{number}{_ENDINGS.get(number % 10, 'th')}"
