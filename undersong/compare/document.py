"""A comparison as a JSON document for programs; its schema is ``comparison.schema.json``, beside
that of arrangements. Whole numbers, ms and percent; frets by their printed numbers from the nut.

Public: comparison_json, comparison_schema, FORMAT, VERSION.
"""

from dataclasses import asdict
from typing import Any

from fretboard.frets import fret_label
from solver.result import Arrangement
from tune.time import quarters
from undersong.compare import Comparison, Row
from undersong.compare.settings import settings_of
from undersong.compare.side import Side, Stroke
from undersong.sheet.json_layout import laid_out
from undersong.sheet.json_schema import read_schema

FORMAT = "undersong comparison"
VERSION = 1


def comparison_json(comparison: Comparison, only_differing: bool = False) -> str:
    """The document, ASCII, the same bytes each time, a newline at its end."""
    rows = comparison.differing if only_differing else comparison.rows
    document = {
        "format": FORMAT,
        "version": VERSION,
        "title": comparison.answers[0].tune.title,
        "warnings": list(comparison.warnings),
        "only_differing": only_differing,
        "answers": [_answer(comparison, number) for number in range(len(comparison.answers))],
        "differing": [row.bar for row in comparison.differing],
        "bars": [_row(comparison, row) for row in rows],
    }
    return laid_out(document) + "\n"


def comparison_schema() -> dict[str, Any]:
    """The published JSON Schema (draft 2020-12) of these documents."""
    return read_schema("undersong.sheet", "comparison.schema.json")


def _answer(comparison: Comparison, number: int) -> dict[str, Any]:
    answer, bill = comparison.answers[number], comparison.bills[number]
    counted = asdict(comparison.figures[number])
    for name in ("lowest", "highest"):
        counted[name] = None if counted[name] is None else fret_label(counted[name])
    bar, percent = comparison.hardest(number)
    return {
        "name": comparison.names[number],
        "title": answer.tune.title,
        "settings": settings_of(answer),
        "proof": asdict(answer.proof),
        "cost": {
            "total": bill.total,
            "by_own_weights": answer.cost,
            "asked_by_own_weights": answer.asked_cost,
            "terms": {name: ms for name, (_, ms) in bill.terms.items()},
            "amounts": {name: amount for name, (amount, _) in bill.terms.items()},
        },
        "figures": {
            name: counted[name] for name in ("lowest", "highest", "shapes", "shifts", "barred")
        },
        "difficulty": {
            "hardest": percent,
            "hardest_bar": bar,
            "median": comparison.median(number),
        },
    }


def _row(comparison: Comparison, row: Row) -> dict[str, Any]:
    tune = comparison.answers[0].tune
    played = tune.played[row.bar - 1]
    return {
        "bar": row.bar,
        "written_bar": tune.bars[played.written].number,
        "differs": list(row.differs),
        "answers": [
            _side(answer, side) for answer, side in zip(comparison.answers, row.sides, strict=True)
        ],
    }


def _side(answer: Arrangement, side: Side) -> dict[str, Any]:
    return {
        "chords": list(side.chords),
        "bass": list(side.bass),
        "cost": side.cost,
        "terms": {name: ms for name, (_, ms) in side.terms.items()},
        "amounts": {name: amount for name, (amount, _) in side.terms.items()},
        "difficulty": side.difficulty,
        "shifts": side.shifts,
        "barred": side.barred,
        "stretch": side.stretch,
        "missing": list(side.missing),
        "fading": list(side.fading),
        "moments": [_stroke(answer, stroke) for stroke in side.strokes],
    }


def _stroke(answer: Arrangement, stroke: Stroke) -> dict[str, Any]:
    return {
        "offset": str(quarters(stroke.offset)),
        "frets": [None if fret < 0 else fret_label(fret) for fret in stroke.frets],
        "fingers": [
            None if finger < 0 else answer.hand.letter(finger) for finger in stroke.fingers
        ],
        "struck": list(stroke.struck),
        "midi": [None if pitch < 0 else pitch for pitch in stroke.pitches],
    }
