"""Everything that can be chosen on the page, each with a word of help.

Public: choices_view, groups.
"""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any

from fretboard import presets
from fretboard.hand import CAUTION, FINGERS
from scoring.term import About
from scoring.terms import TERMS
from solver.manners import MANNERS
from solver.righthand import right_hands
from solver.style import TEXTURES, manners_in, usual_manner
from tune.melody import sung
from tune.tune import Tune
from undersong.desk.views.helps import HELPS, SPAN_HELP
from undersong.levels.level import levels_for
from undersong.sheet.paper import PAPERS
from undersong.sheet.text_signs import FINGER_WORDS
from undersong.sheet.write import FORMATS

GROUPS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "Little movement": (
            "hand-shift", "finger-travel", "finger-slide", "finger-down", "finger-up", "hurry",
        ),
        "An easy reach": (
            "stretch", "far-stretch", "cramp", "barred", "unaccustomed-finger",
        ),
        "The root in the bass": (
            "change-off-root", "beat-off-root", "half-bar", "missed-answer",
        ),
        "A low bass that moves": (
            "high-bass", "bass-still", "bass-leap", "foreign-bass", "root-again", "broken-run",
            "early-root", "no-breath", "bass-silent", "bass-above", "drone-bass",
        ),
        "Full chords": (
            "root-missing", "root-fading", "third-missing", "third-fading", "fifth-missing",
            "seventh-missing", "seventh-fading", "left-out", "thin-strum",
        ),
        "Strings above the bass": (
            "upper-silent", "clash", "voice-leap", "parallel-fifths", "melody-crossed",
            "drone-clash",
        ),
    }
)  # fmt: skip
"""What the player wishes for → the weights that say how much she would do for it."""

LEAST_END = 200
"""ms at the end of a slider at least; single fingers' ms end at their limit."""


@cache
def _abouts() -> Mapping[str, About]:
    return {term.about.name: term.about for term in TERMS}


def groups() -> list[dict[str, Any]]:
    """The wishes; most: where the slider ends, which is as far as anybody needs."""
    return [
        {"group": group, "weights": [_weight(_abouts()[name]) for name in names]}
        for group, names in GROUPS.items()
    ]


def _weight(about: About) -> dict[str, Any]:
    return {
        "name": about.name,
        "words": about.meaning,
        "unit": about.unit,
        "default": about.default,
        "most": min(about.limit, max(LEAST_END, 4 * about.default)),
        "limit": about.limit,
    }


@cache
def choices_view() -> Mapping[str, Any]:
    """Names with their words; everything in the order in which it is best offered. Always the same,
    so it is made but once."""
    return {
        "tunes": _tunes(),
        "instruments": [{"name": one.name, "words": one.meaning} for one in presets.instruments()],
        "tunings": [{"name": one.name, "words": one.meaning} for one in presets.tunings()],
        "hands": [{"name": one.name, "words": one.meaning} for one in presets.hands()],
        "fingers": [
            {"letter": letter, "words": FINGER_WORDS[number]}
            for number, letter in enumerate(FINGERS)
        ],
        "textures": [
            {
                "name": name,
                "words": words,
                "manners": list(manners_in(name)),
                "usual": usual_manner(name),
            }
            for name, words in TEXTURES.items()
        ],
        "manners": [{"name": name, "words": told[0]} for name, told in MANNERS.items()],
        "right_hands": [
            {
                "name": one.name,
                "words": one.meaning,
                "metres": [str(metre) for metre, _ in one.bars],
            }
            for one in right_hands()
        ],
        "chords": [
            {"name": "given", "words": "the tune's own"},
            {"name": "proposed", "words": "proposed for the melody, proven best"},
            {"name": "drone", "words": "the key's open fifth throughout"},
        ],
        "no_chord": [
            {"name": "rest", "words": "rest where no chord is written"},
            {"name": "carry", "words": "carry the chord before on"},
        ],
        "alike": [
            {"name": "repeats", "words": "each time through a repeat"},
            {"name": "sections", "words": "sections with the same chords and melody"},
            {"name": "bars", "words": "all bars with the same chords and melody"},
        ],
        "levels": {
            texture: [
                {"number": level.number, "teaches": level.teaches} for level in levels_for(texture)
            ]
            for texture in TEXTURES
        },
        "papers": [{"name": paper.name, "words": _paper(paper.name)} for paper in PAPERS.values()],
        "files": [{"suffix": suffix, "words": kind.meaning} for suffix, kind in FORMATS.items()],
        "helps": dict(HELPS),
        "caution": CAUTION,
        "span_help": SPAN_HELP,
        "wishes": groups(),
    }


def _paper(name: str) -> str:
    return {"a4": "A4", "letter": "Letter"}.get(name, name)


@cache
def _read(name: str) -> Tune:
    import corpus
    from tune.readers import read_data

    return read_data(corpus.path(name).read_bytes(), name)


def _tunes() -> list[dict[str, Any]]:
    import corpus

    return [
        {
            "name": name,
            "title": _read(name).title,
            "words": _tune_words(_read(name)),
            "has_chords": _read(name).has_chords,
            "has_melody": bool(sung(_read(name))),
        }
        for name in corpus.names()
    ]


def _tune_words(tune: Tune) -> str:
    holds = [word for word, there in (("melody", bool(sung(tune))), ("chords", tune.has_chords))
             if there]  # fmt: skip
    bars = len([bar for bar in tune.bars if bar.number])
    return f"{tune.key}, {tune.metre}, {bars} bars, {' and '.join(holds)}"
