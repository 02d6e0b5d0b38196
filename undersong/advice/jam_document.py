"""Advice for a jam as a JSON document for programs; its schema is ``jam.schema.json`` beside.
Whole numbers and ms; frets by their printed numbers from the nut.

Public: jam_json, jam_schema, FORMAT, VERSION.
"""

from dataclasses import asdict
from typing import Any

from fretboard.frets import fret_label
from undersong.advice.jam import Jam, KeyPlayed, Sitting
from undersong.advice.retuning import retuned
from undersong.sheet.json_layout import laid_out
from undersong.sheet.json_schema import read_schema

FORMAT = "undersong jam"
VERSION = 1


def jam_json(jam: Jam) -> str:
    """The document, ASCII, the same bytes each time, a newline at its end."""
    evening = jam.evening
    document = {
        "format": FORMAT,
        "version": VERSION,
        "keys": [str(key) for key in evening.keys],
        "instrument": evening.own.name,
        "strung": list(evening.own.tuning),
        "extra_frets": [fret_label(fret) for fret in evening.own.extra_frets],
        "capos": [fret_label(capo) for capo in evening.capos],
        "tempo": evening.tempo,
        "prices": asdict(evening.prices),
        "tunings": [_sitting(sitting, jam) for sitting in jam.sittings],
    }
    return laid_out(document) + "\n"


def jam_schema() -> dict[str, Any]:
    """The published JSON Schema (draft 2020-12) of these documents."""
    return read_schema("undersong.advice", "jam.schema.json")


def _sitting(sitting: Sitting, jam: Jam) -> dict[str, Any]:
    change = retuned(jam.evening.own, sitting.instrument, jam.evening.made_for)
    return {
        "name": sitting.name,
        "pitches": list(sitting.instrument.tuning),
        "finished": sitting.finished,
        "late": sitting.late,
        "total": sitting.total,
        "capo_moves": sitting.moves,
        "semitones": sitting.semitones,
        "tune": list(change.words()),
        "caution": change.caution(),
        "keys": [_key(each) for each in sitting.played],
        "not_played": [
            {
                "key": str(each.key),
                "why": [{"capo": fret_label(capo), "reason": why} for capo, why in each.why],
            }
            for each in sitting.not_played
        ],
    }


def _key(each: KeyPlayed) -> dict[str, Any]:
    return {
        "key": str(each.key),
        "capo": fret_label(each.capo),
        "cost": each.cost,
        "proven": each.proven,
        "open": list(each.open),
        "no_drone": each.no_drone,
        "scales": [
            {
                "from": fret_label(scale.first),
                "to": fret_label(scale.last),
                "extra": [fret_label(fret) for fret in scale.extra],
            }
            for scale in each.scales
        ],
        "no_third": list(each.no_third),
    }
