"""What a page says of chords whose third no string has.

Public: third_words.
"""

from solver.result import Arrangement
from tune.bar_names import bars_named
from undersong.missing_tones import missing_in


def third_words(arrangement: Arrangement, brief: bool = False) -> str:
    """``In bars 2, 4 a chord sounds without its third.``, or in fewer words; empty where every
    chord has its third, or has none by name."""
    found = {
        arrangement.tune.bars[arrangement.moments[tone.at].written].number
        for tone in missing_in(arrangement)
        if tone.degree == "third"
    }
    if not found:
        return ""
    where = bars_named(found)
    if brief:
        return f"A third is missing in {where}."
    return f"In {where} a chord sounds without its third."
