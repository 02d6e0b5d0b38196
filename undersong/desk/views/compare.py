"""Answers side by side, bar by bar.

Public: compare_view.
"""

from typing import Any

from scoring.terms import TERMS
from solver.result import Arrangement
from undersong.compare import Comparison
from undersong.compare.shown import shown_hands
from undersong.compare.side import Side
from undersong.compared import named_bars, printed_bars


def compare_view(found: Comparison) -> dict[str, Any]:
    """Costs by the first answer's weights, ms."""
    meanings = {term.about.name: term.about.meaning for term in TERMS}
    bills = [bill.terms for bill in found.bills]
    terms = [
        {"name": name, "words": meanings[name], "costs": [bill[name][1] for bill in bills]}
        for name in bills[0]
        if any(bill[name][1] for bill in bills)
    ]
    return {
        "names": list(found.names),
        "rows": [
            {
                "played": row.bar,
                "number": printed_bars(found.answers[0].tune, (row.bar,)),
                "differs": list(row.differs),
                "sides": [
                    _side(answer, side)
                    for answer, side in zip(found.answers, row.sides, strict=True)
                ],
            }
            for row in found.rows
        ],
        "totals": [_totals(found, number) for number in range(len(found.answers))],
        "settings": [[name.capitalize(), list(words)] for name, words in found.settings.items()],
        "terms": sorted(terms, key=lambda term: -max(term["costs"])),
        "warnings": list(found.warnings),
    }


def _side(answer: Arrangement, side: Side) -> dict[str, Any]:
    return {
        "shapes": [shown_hands(answer, s.frets, s.fingers, s.struck) for s in side.strokes],
        "bass": list(side.bass),
        "chords": list(side.chords),
        "missing": list(side.missing),
        "cost": side.cost,
        "difficulty": side.difficulty,
        "shifts": side.shifts,
        "stretch": side.stretch,
    }


def _totals(found: Comparison, number: int) -> dict[str, Any]:
    figures = found.figures[number]
    bar, percent = found.hardest(number)
    return {
        "cost": found.bills[number].total,
        "proof": found.answers[number].proof.status,
        "gap": found.answers[number].proof.gap,
        "hardest": percent,
        "hardest_bar": named_bars(found.answers[number].tune, (bar,)),
        "median": found.median(number),
        "shifts": figures.shifts,
        "shapes": figures.shapes,
        "barred": figures.barred,
    }
