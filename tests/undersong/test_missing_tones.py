"""Pages and ``check`` say the same of chords whose third no string has."""

import re

import pytest

from scoring.weights import Weights
from solver.style import Style
from tests.undersong.arranged import bundled, chart
from undersong import check_tab
from undersong.missing_tones import missing_in
from undersong.session import Session
from undersong.sheet.options import SheetOptions
from undersong.sheet.text import text_tab
from undersong.sheet.third_words import third_words

CARELESS = Weights.of({"third-missing": 0, "third-fading": 0, "finger-down": 300})


def numbers(words: str) -> set[int]:
    """``In bars 2, 4-6 a chord …`` → its bars."""
    found: set[int] = set()
    for first, last in re.findall(r"(\d+)(?:-(\d+))?", words):
        found |= set(range(int(first), int(last or first) + 1))
    return found


@pytest.mark.parametrize(
    ("name", "texture", "weights"),
    [
        ("three-odd-gloves", "song", Weights()),  # a chord a beat: some are a bass note alone
        ("three-odd-gloves", "song", CARELESS),
        ("harrow-lane", "song", CARELESS),
        ("mending-weather", "solo", Weights()),
        ("lantern-path", "solo", CARELESS),
    ],
)
def test_a_page_that_is_checked_gets_the_remarks_of_its_own_foot(
    name: str, texture: str, weights: Weights
) -> None:
    tune, style = bundled(name).tune, Style(texture=texture)
    made = Session(tune, style=style).arrange(weights)
    checked = check_tab(text_tab(made, SheetOptions()), tune, style=style)
    remarked = {
        tune.bars[tune.played[finding.played - 1].written].number
        for finding in checked.findings
        if finding.kind == "third"
    }
    told = numbers(third_words(made))
    assert remarked == told


def test_a_chord_that_is_a_bass_note_alone_lacks_nothing() -> None:
    """Am on the first beat of bar 15, under no strum; common practice, no source."""
    made = Session(bundled("three-odd-gloves").tune).arrange()
    alone = [
        choice.struck
        for moment, choice in zip(made.moments, made.choices, strict=True)
        if made.tune.bars[moment.written].number == 15 and str(moment.chord) == "Am"
    ]
    assert alone == [(True, False, False)] * len(alone)
    assert alone
    assert 15 not in numbers(third_words(made))


def test_what_is_suspended_stands_for_the_third() -> None:
    made = Session(chart("key: D\nmetre: 4/4\n| Dsus4 | D |\n")).arrange(CARELESS)
    degrees = {str(made.moments[one.at].chord): one.degree for one in missing_in(made)}
    assert degrees == {"Dsus4": "fourth", "D": "third"}
