"""The table of cost terms: every row filled, in the order they are listed.

What the design asks of the default prices is here too, and of prices nothing more is pinned.
"""

import re

import pytest

from scoring.term import Term
from scoring.terms import (
    FINGER_TERMS,
    HAND_TERMS,
    LINE_TERMS,
    PAIR_TERMS,
    SHAPE_TERMS,
    STAND_TERMS,
    TERMS,
    VOICE_TERMS,
)
from scoring.weights import DEFAULTS

LISTED = [
    # moving
    ("hand-shift", "ms"), ("finger-travel", "ms"), ("finger-slide", "ms"),
    ("finger-down", "finger"), ("finger-up", "finger"), ("hurry", "ms"),
    # holding
    ("stretch", "mm"), ("far-stretch", "mm"), ("cramp", "mm"), ("barred", "finger"),
    ("unaccustomed-finger", "finger"),
    # the bass
    ("change-off-root", "note"), ("beat-off-root", "note"), ("half-bar", "note"),
    ("root-again", "note"), ("missed-answer", "note"), ("high-bass", "semitone"),
    ("foreign-bass", "note"), ("no-breath", "breath"), ("bass-leap", "semitone"),
    ("bass-still", "note"), ("broken-run", "note"), ("early-root", "note"),
    # the chord
    ("root-missing", "strum"), ("root-fading", "strum"), ("third-missing", "strum"),
    ("third-fading", "strum"), ("fifth-missing", "strum"), ("seventh-missing", "strum"),
    ("seventh-fading", "strum"),
    # what rings
    ("upper-silent", "eighth"), ("bass-silent", "eighth"), ("clash", "eighth"),
    ("left-out", "string"), ("bass-above", "string"), ("voice-leap", "semitone"),
    ("parallel-fifths", "string"),
    # the melody
    ("melody-crossed", "string"), ("thin-strum", "string"), ("drone-bass", "note"),
    ("drone-clash", "eighth"),
]  # fmt: skip


def test_the_terms_stand_in_their_order_with_their_units() -> None:
    assert [(term.about.name, term.about.unit) for term in TERMS] == LISTED


def test_every_term_is_of_one_kind() -> None:
    kinds = (
        SHAPE_TERMS,
        STAND_TERMS,
        FINGER_TERMS,
        HAND_TERMS,
        VOICE_TERMS,
        PAIR_TERMS,
        LINE_TERMS,
    )
    assert sum(len(kind) for kind in kinds) == len(TERMS)
    assert {term.about.name for kind in kinds for term in kind} == set(DEFAULTS)


@pytest.mark.parametrize("term", TERMS, ids=lambda term: term.about.name)
def test_a_row_says_what_a_player_needs(term: Term) -> None:
    about = term.about
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", about.name)
    assert len(about.meaning.split()) >= 4
    assert not about.meaning.endswith(".")
    assert len(about.source) > 10
    assert isinstance(about.default, int)
    assert 0 <= about.default <= about.limit
    assert term.amount.__doc__ or "-missing" in about.name or "-fading" in about.name


def test_time_is_time() -> None:
    # a term that counts ms costs them as they are, but for hurry, whose price was measured; all may
    # be priced at most a hundredfold
    timed = {term.about.name: term.about for term in TERMS if term.about.unit == "ms"}
    assert {about.limit for about in timed.values()} == {100}
    assert timed.pop("hurry").default > 1
    assert [about.default for about in timed.values()] == [1] * 3


def test_parallel_fifths_are_free_until_the_player_says_otherwise() -> None:
    assert DEFAULTS["parallel-fifths"] == 0  # drone style is idiomatic: common practice, no source


@pytest.mark.parametrize("degree", ["root", "third", "seventh"])
def test_a_tone_in_the_ear_costs_about_a_quarter(degree: str) -> None:
    # its absence costs only a fraction, about a quarter: our own choice
    share = DEFAULTS[f"{degree}-fading"] / DEFAULTS[f"{degree}-missing"]
    assert 0.2 <= share <= 0.35
