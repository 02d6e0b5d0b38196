"""An answer as the page shows it: drawn, read out, summed up, and held against the one before.

Public: answer_view.
"""

from collections.abc import Sequence
from typing import Any

from fretboard.tuning import pitch_name
from solver.result import PROVEN, Arrangement
from undersong.compare.settings import settings_of
from undersong.compared import named_bars
from undersong.desk.views.changes import changes_view
from undersong.desk.views.drawing import drawing_view
from undersong.desk.views.reading import reading_view
from undersong.sheet.document import to_json
from undersong.sheet.text_difficulty import difficulty_words, tempo_advice
from undersong.sheet.used import used_shapes


def answer_view(
    arrangement: Arrangement,
    *,
    seconds: float,
    before: Arrangement | None = None,
    notices: Sequence[str] = (),
    page: dict[str, Any] | None = None,
) -> dict[str, Any]:
    """seconds: what the search took; before: the answer that it replaces on the page; notices:
    sentences that she should know besides; page: its drawing, where that is known already."""
    return {
        "document": to_json(arrangement),
        "page": drawing_view(arrangement) if page is None else page,
        "reading": reading_view(arrangement),
        "summary": _summary(arrangement, seconds),
        "settings": [[name.capitalize(), words] for name, words in _settings(arrangement)],
        "shapes": _shapes(arrangement),
        "changes": [] if before is None else changes_view(before, arrangement),
        "notices": list(notices),
    }


def _summary(made: Arrangement, seconds: float) -> dict[str, Any]:
    proof, rating = made.proof, made.difficulty
    hardest = rating.hardest_bar.bar if rating.hardest else 0
    told = f"{proof.status}: {made.cost} ms of hand work"
    if proof.gap:
        told += f", at most {proof.gap} ms above the best"
    advice = tempo_advice(made)
    return {
        "title": made.tune.title,
        "proven": proof.status == PROVEN,
        "proof": proof.status,
        "gap": proof.gap,
        "cost": made.cost,
        "asked": made.asked_cost,
        "hardest": rating.hardest,
        "hardest_bar": named_bars(made.tune, (hardest,)) if hardest else "",
        "median": rating.median,
        "seconds": round(seconds, 3),
        "searched": told,
        "difficulty": " ".join(part for part in (difficulty_words(made), advice) if part),
        "open": [pitch_name(pitch) for pitch in made.instrument.tuning],
    }


def _settings(made: Arrangement) -> list[tuple[str, str]]:
    return [(name, words) for name, words in settings_of(made).items() if words != "none"]


def _shapes(made: Arrangement) -> list[str]:
    """Each shape that the fingers learn, in the order of first use, and how often it comes."""
    label = made.instrument.label
    return [
        "-".join("x" if fret < 0 else label(fret) for fret in used.grip.frets)
        + " "
        + "".join(made.hand.letter(finger) for finger in used.grip.fingers if finger >= 0)
        + (f", {used.times} times" if used.times > 1 else ", once")
        for used in used_shapes(made)
    ]
