"""Bars of rhythm in a short hand, so that expected values can be read beside what is asked.

Asked: lengths in quarter notes, ``r`` before a rest (``1/2 3/2 r1``). Written: base and dots, such
as ``4.``; ``r`` before a rest; ``:3/2`` for a tuplet with ``[`` and ``]`` at its ends; ``b1`` for
its beam; ``~`` where it is tied on.

Public: written, metre_of, spans_of, said.
"""

from fractions import Fraction

from tune.time import Metre, ticks
from undersong.sheet.rhythm import Stem, stems


def metre_of(text: str) -> Metre:
    beats, unit = text.split("/")
    return Metre(int(beats), int(unit))


def spans_of(items: str) -> tuple[list[tuple[int, int]], int]:
    """The spans asked for, and ticks in all."""
    clock, spans = Fraction(0), []
    for item in items.split():
        length = Fraction(item.lstrip("r"))
        if not item.startswith("r"):
            spans.append((ticks(clock), ticks(length)))
        clock += length
    return spans, ticks(clock)


def said(stem: Stem) -> str:
    text = ("r" if stem.event is None else "") + f"{stem.base}" + "." * stem.dots
    if stem.tuplet:
        text += f":{stem.tuplet[0]}/{stem.tuplet[1]}"
    text += ("[" if stem.tuplet_starts else "") + ("]" if stem.tuplet_ends else "")
    return text + (f"b{stem.beam}" if stem.beam else "") + ("~" if stem.ties_on else "")


def written(metre: str, items: str, lead: str = "0") -> str:
    spans, length = spans_of(items)
    return " ".join(map(said, stems(spans, metre_of(metre), length, ticks(lead))))
