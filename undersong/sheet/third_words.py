"""What a page says of chords whose third no string has.

Whether a third is missed is the scoring room's own count (``third-missing``): where chords are
judged, and not where the third was heard since the chord began.

Public: third_words.
"""

from itertools import groupby

from fretboard.instrument import Instrument
from scoring.choice import Choice
from scoring.moment import Moment
from solver.result import Arrangement
from tune.bar_names import bars_named


def third_words(arrangement: Arrangement, brief: bool = False) -> str:
    """``In bars 2, 4 a chord sounds without its third.``, or in fewer words; empty where every
    chord has its third, or has none by name."""
    found: set[int] = set()
    rows = list(
        zip(arrangement.moments, arrangement.choices, arrangement.bill.amounts, strict=True)
    )
    for _, inside in groupby(rows, key=lambda row: (row[0].bar, row[0].chord)):
        here = list(inside)
        missed = any(amounts.get("third-missing") for _, _, amounts in here)
        heard = any(_has_third(moment, made, arrangement.instrument) for moment, made, _ in here)
        if missed and not heard:
            found.add(arrangement.tune.bars[here[0][0].written].number)
    if not found:
        return ""
    where = bars_named(found)
    if brief:
        return f"A third is missing in {where}."
    return f"In {where} a chord sounds without its third."


def _has_third(moment: Moment, choice: Choice, instrument: Instrument) -> bool:
    """Whether a string that sounds has the chord's third, or the chord has none by name."""
    chord = moment.chord
    if chord is None or "third" not in chord.degrees:
        return True
    return any(
        fret >= 0 and instrument.pitch(course, fret) % 12 == chord.degrees["third"]
        for course, fret in enumerate(choice.grip.frets)
    )
