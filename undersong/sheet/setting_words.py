"""The instrument and the hand that a page is for, in words that stand in a sentence.

Public: instrument_words, hand_called, hand_words.
"""

from fretboard.hand import FINGERS, Hand
from fretboard.instrument import Instrument
from undersong.sheet.text_signs import FINGER_WORDS
from undersong.wording import listed

_NOUNS = ("instrument", "dulcimer")
"""What a player's own file may be called by already."""


def instrument_words(instrument: Instrument) -> str:
    """``standard instrument``; a name that says what it is stays as it is."""
    name = instrument.name
    return name if any(noun in name.lower() for noun in _NOUNS) else f"{name} instrument"


def hand_called(hand: Hand) -> str:
    """``medium hand, span 205 mm``, ``hand of span 190 mm``, ``noter``; with what is left out."""
    if hand.noter:
        return "noter"
    span = _span(hand)
    if hand.name == span:
        return f"hand of {span}{_left_out(hand)}"
    name = hand.name if "hand" in hand.name.lower() else f"{hand.name} hand"
    return f"{name}, {span}{_left_out(hand)}"


def hand_words(hand: Hand) -> str:
    """The same after a label: ``medium, span 205 mm``, ``span 190 mm``, ``noter``."""
    if hand.noter:
        return hand.name
    span = _span(hand)
    return f"{span if hand.name == span else f'{hand.name}, {span}'}{_left_out(hand)}"


def _span(hand: Hand) -> str:
    return f"span {hand.span_mm} mm"


def _left_out(hand: Hand) -> str:
    """Fingers that stop no string, and a thumb that keeps off the bass string."""
    fingers = [FINGER_WORDS[FINGERS.index(letter)] for letter in hand.not_used]
    without = f", without {listed(fingers)}" if fingers else ""
    return without if hand.thumb_on_bass else f"{without}, thumb off the bass string"
