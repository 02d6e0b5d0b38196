"""Hands and beats in few signs: ``(3)-1-0 MI`` and ``beat 3``.

A string that is held or rings on without being struck stands in brackets, one without sound is x.

Public: shown_hands, shown_beats.
"""

from collections.abc import Sequence
from fractions import Fraction

from solver.pinning import beats_of
from solver.result import Arrangement
from solver.spans import spans_of


def shown_hands(
    answer: Arrangement,
    frets: Sequence[int],
    fingers: Sequence[int],
    struck: Sequence[bool],
    from_capo: bool = False,
) -> str:
    """Frets bass first, then a letter for each string that is stopped."""
    parts = []
    for fret, on in zip(frets, struck, strict=True):
        label = "x" if fret < 0 else answer.instrument.label(fret, from_capo)
        parts.append(label if on or fret < 0 else f"({label})")
    letters = "".join(answer.hand.letter(finger) for finger in fingers if finger >= 0)
    return f"{'-'.join(parts)} {letters}".rstrip()


def shown_beats(answer: Arrangement) -> list[str]:
    """For each moment the felt beat in which it begins, and how far into it: ``beat 3``,
    ``beat 3 + 1/2``."""
    spans = {span.number: span for span in spans_of(answer.tune, "")}
    words = []
    for moment, beat in zip(answer.moments, beats_of(answer.tune, answer.moments), strict=True):
        span = spans[moment.bar]
        into = Fraction((moment.offset + span.lead) % span.metre.beat, span.metre.beat)
        words.append(f"beat {beat}" + (f" + {into}" if into else ""))
    return words
