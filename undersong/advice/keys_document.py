"""Which key and tuning, as a JSON document for programs; its schema is ``keys.schema.json`` beside.
Whole numbers: ms, percent, semitones, MIDI pitches; frets by their printed numbers from the nut.

Public: keys_json, keys_schema, FORMAT, VERSION.
"""

from typing import Any

from fretboard.frets import fret_label
from solver.result import Arrangement
from undersong.advice.combinations import Combination
from undersong.advice.keys import KeyAdvice, KeyRow
from undersong.compared import printed_bars
from undersong.sheet.json_layout import laid_out
from undersong.sheet.json_schema import read_schema

FORMAT = "undersong keys"
VERSION = 1


def keys_json(advice: KeyAdvice, texture: str) -> str:
    """The document, ASCII, the same bytes each time, a newline at its end."""
    asked, voice = advice.asked, advice.asked.choices.voice
    document = {
        "format": FORMAT,
        "version": VERSION,
        "title": asked.tune.title,
        "key": str(asked.tune.key),
        "instrument": asked.choices.own.name,
        "tuning": list(asked.choices.own.tuning),
        "capo": fret_label(asked.choices.own.capo),
        "texture": texture,
        "voice": None
        if voice is None
        else {"name": voice.name, "lowest": voice.lowest, "highest": voice.highest,
              "source": voice.source},
        "rows": [_row(advice, row) for row in advice.rows],
        "as_it_is": None if advice.as_it_is is None else vars(advice.as_it_is),
        "looked_at": advice.looked_at,
        "different": advice.problems,
        "cannot_be_played": [{"why": why, "count": count} for why, count in advice.cannot],
        "nearest": [
            {
                **_combination(advice, near.combination),
                "notes": [{"bar": note.bar, "name": note.name} for note in near.notes],
                "chords": list(near.chords),
            }
            for near in advice.nearest
        ],
        "not_sung": advice.unsung,
        "ruled_out": advice.ruled_out,
        "ruled_out_least": advice.least,
        "no_better_with_more_frets": advice.no_better,
        "not_looked_at": advice.not_looked_at,
        "proven": advice.proven,
    }  # fmt: skip
    return laid_out(document) + "\n"


def keys_schema() -> dict[str, Any]:
    """The published JSON Schema (draft 2020-12) of these documents."""
    return read_schema("undersong.advice", "keys.schema.json")


def _combination(advice: KeyAdvice, one: Combination) -> dict[str, Any]:
    retuning = one.retuning
    return {
        "tuning": one.tuning,
        "pitches": list(one.instrument.tuning),
        "capo": fret_label(one.instrument.capo),
        "extra_frets": [fret_label(fret) for fret in one.extra],
        "key": str(advice.asked.tune.key.transposed(one.semitones)),
        "semitones": one.semitones,
        "octave_sung": one.octave,
        "retune": list(retuning.words()),
        "strings": retuning.strings,
        "retuned_semitones": retuning.semitones,
        "caution": retuning.caution(),
    }


def _row(advice: KeyAdvice, row: KeyRow) -> dict[str, Any]:
    found: Arrangement = row.arrangement
    return {
        **_combination(advice, row.best),
        "cost": row.cost,
        "proven": row.proven,
        "bound": found.proof.bound,
        "gap": found.proof.gap,
        "hardest": found.difficulty.hardest,
        "hardest_bar": printed_bars(found.tune, (found.difficulty.hardest_bar.bar,)),
        "median": found.difficulty.median,
        "lost_tones": [
            {"bar": lost.bar, "chord": lost.chord, "degree": lost.degree} for lost in row.lost.tones
        ],
        "melody_on_bass_string": list(row.lost.low),
        "same_for_the_hand": [_combination(advice, one) for one in row.also],
    }
