"""Advice on frets as a JSON document for programs; its schema is ``frets.schema.json`` beside.
Whole numbers, ms and percent; frets by their printed numbers from the nut.

Public: frets_json, advice_schema, FORMAT, VERSION.
"""

from dataclasses import asdict
from typing import Any

from fretboard.frets import fret_label
from undersong.advice.all_frets import FretsAdvice, Total
from undersong.advice.frets import Outcome
from undersong.sheet.json_layout import laid_out
from undersong.sheet.json_schema import read_schema

FORMAT = "undersong frets"
VERSION = 1


def frets_json(advice: FretsAdvice, texture: str) -> str:
    """The document, ASCII, the same bytes each time, a newline at its end."""
    document = {
        "format": FORMAT,
        "version": VERSION,
        "instrument": advice.own.name,
        "extra_frets": _labels(advice.own.extra_frets),
        "capo": fret_label(advice.own.capo),
        "texture": texture,
        "fretboards": [
            {"without": _labels(one.taken), "with": _labels(one.added)} for one in advice.fretboards
        ],
        "tunes": [
            {
                "name": row.name,
                "title": row.title,
                "own": _outcome(row.own),
                "others": [_outcome(outcome) for outcome in row.others],
            }
            for row in advice.rows
        ],
        "left_out": [{"name": name, "why": why} for name, why in advice.left_out],
        "playable": advice.playable,
        "totals": [_total(total) for total in advice.totals],
        "helps_most": _labels(tuple(total.fretboard.added[0] for total in advice.best)),
    }
    return laid_out(document) + "\n"


def advice_schema() -> dict[str, Any]:
    """The published JSON Schema (draft 2020-12) of these documents."""
    return read_schema("undersong.advice", "frets.schema.json")


def _labels(frets: tuple[int, ...]) -> list[str]:
    return [fret_label(fret) for fret in frets]


def _outcome(outcome: Outcome) -> dict[str, Any]:
    told = asdict(outcome)
    return {**told, "losses": list(outcome.losses), "mends": list(outcome.mends)}


def _total(total: Total) -> dict[str, Any]:
    told = {name: value for name, value in asdict(total).items() if name != "fretboard"}
    return {**told, "opened": list(total.opened), "closed": list(total.closed)}
