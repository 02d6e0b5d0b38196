"""A set as a JSON document for programs; its schema is ``set.schema.json`` beside. Whole numbers
and ms; frets by their printed numbers from the nut.

Public: set_json, set_schema, FORMAT, VERSION.
"""

from typing import Any

from fretboard.frets import fret_label
from solver.result import PROVEN
from undersong.advice.set_text import join_words
from undersong.advice.set_ways import LeftOut
from undersong.advice.sets import SetPlace, TuneSet
from undersong.advice.tuning_names import tuning_name
from undersong.sheet.json_layout import laid_out
from undersong.sheet.json_schema import read_schema

FORMAT = "undersong set"
VERSION = 1


def set_json(made: TuneSet, title: str = "") -> str:
    """The document, ASCII, the same bytes each time, a newline at its end."""
    asked, start = made.asked, made.asked.start
    document = {
        "format": FORMAT,
        "version": VERSION,
        "title": title,
        "instrument": asked.made_for.name,
        "from": None if start is None else list(start.tuning),
        "in_a_row": asked.in_a_row,
        "prices": dict(asked.prices.items()),
        "tunes": [_place(at, place, made) for at, place in enumerate(made.places)],
        "cost": made.order.cost,
        "bound": made.bound,
        "order_proven": made.order.proven,
        "proven": made.proven,
        "first_of_equals": made.order.settled,
        "as_named": made.as_named,
        "left_out": [_failed(each) for each in made.left_out],
        "not_played": [_failed(each) for each in made.not_played],
    }
    return laid_out(document) + "\n"


def set_schema() -> dict[str, Any]:
    """The published JSON Schema (draft 2020-12) of these documents."""
    return read_schema("undersong.advice", "set.schema.json")


def _failed(each: LeftOut) -> dict[str, str]:
    return {
        "title": each.title,
        "tuning": tuning_name(each.instrument),
        "capo": fret_label(each.instrument.capo),
        "reason": each.why,
    }


def _place(at: int, place: SetPlace, made: TuneSet) -> dict[str, Any]:
    retuning, found = place.retuning, place.arrangement
    return {
        "title": place.tune.title,
        "named": place.tune.piece.name,
        "key": str(place.tune.tune.key),
        "follows": place.follows,
        "tuning": tuning_name(place.instrument),
        "pitches": list(place.instrument.tuning),
        "capo": fret_label(place.instrument.capo),
        "texture": place.texture,
        "transposed": place.tune.transposed,
        "medley": place.tune.medley,
        "before": [] if retuning is None else list(retuning.words()),
        "caution": place.caution,
        "join": join_words(made.places[at - 1], place) if place.joined else "",
        "amounts": place.amounts,
        "cost": place.cost,
        "work_proven": None if found is None else found.proof.status == PROVEN,
    }
