"""Answers that other commands wrote, taken up: the work asks for the same answer, or none is."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import corpus
import undersong
from fretboard import presets
from fretboard.frets import HIGHEST_SEMITONE
from scoring.weights import Weights
from solver.conditions import Conditions
from solver.conditions.costliest import Costliest
from solver.conditions.pins import Pin
from solver.conditions.quota import Quota
from solver.result import Arrangement
from solver.style import Style
from tests.undersong.desk.asking import Asking
from undersong.desk.refused import Refusal
from undersong.desk.settings import begun, session_of
from undersong.desk.taken_up import work_of
from undersong.desk.work import Source, Work, work_in, work_out
from undersong.sheet.json_node import parse

FROST = undersong.read_tune("frost-on-the-allotments")


def again(made: Arrangement) -> Work:
    """What is taken up of the answer, as the page gets it and sends it back; it asks for what the
    answer was asked for, and so finds an answer of the same cost."""
    work = work_in(parse(json.dumps(work_out(work_of(made)))))
    asked = begun(work)
    found = session_of(asked).arrange(asked.weights, asked.conditions)
    assert found.tune == made.tune
    assert found.asked_cost == made.asked_cost
    assert found.choices == made.choices
    return work


def test_a_bundled_tune_is_the_bundled_one() -> None:
    made = undersong.arrange(FROST, style=Style(texture="solo"))
    work = again(made)
    assert work.tune == Source(bundled="frost-on-the-allotments")
    assert (work.settings.texture, work.settings.manner) == ("solo", None)


def test_another_tempo_is_the_tunes_own() -> None:
    made = undersong.arrange(FROST.at_tempo(70))
    work = again(made)
    assert json.loads(work.tune.written)["title"] == FROST.title


@pytest.mark.parametrize("texture", ["bass", "drone"])
def test_every_texture(texture: str) -> None:
    style = Style(texture=texture, manner="held" if texture == "drone" else "roots")
    assert again(undersong.arrange(FROST, style=style)).settings.texture == texture


def test_instrument_hand_frets_and_wishes() -> None:
    instrument = presets.instrument("four-equidistant", tuning="D3 A3 D4 D4", capo="1")
    work = again(
        undersong.arrange(
            FROST,
            instrument=instrument,
            hand=presets.hand("190mm").without("P"),
            style=Style(highest=9, bass_lowest=False),
            weights=Weights.of({"high-bass": 40}),
        )
    )
    settings = work.settings
    assert (settings.instrument, settings.capo, settings.hand) == ("four-equidistant", "1", "190mm")
    assert (settings.without_fingers, settings.bass_above) == (("P",), True)
    assert work.weights == (("high-bass", 40),)


def asked(conditions: Conditions) -> Arrangement:
    work = Work(Source(bundled="frost-on-the-allotments"))
    one = begun(work)
    return session_of(one).arrange(one.weights, conditions)


def test_what_was_asked_of_bars() -> None:
    standard = presets.instrument()
    pins = (*Pin.parse("1: role root", False, standard), *Pin.parse("3: finger P", True, standard))
    work = again(asked(Conditions(pins=pins, quotas=(Quota.parse("9 shifts", True),))))
    assert (len(work.pins), len(work.forbids), work.at_most) == (1, 1, ("9 shifts",))


@pytest.mark.parametrize("number", [1, 3])
def test_a_level(number: int) -> None:
    settings = replace(Work(Source(bundled="frost-on-the-allotments")).settings, level=number)
    one = begun(Work(Source(bundled="frost-on-the-allotments"), settings=settings))
    work = again(session_of(one).arrange(one.weights, one.conditions))
    assert work.settings.level == number
    assert work.forbids == ()


def test_what_the_page_has_no_setting_for_is_refused_and_can_be_looked_at(
    tmp_path: Path,
) -> None:
    made = asked(Conditions(costliest=Costliest()))
    with pytest.raises(Refusal) as refused:
        work_of(made)
    assert "all that was asked of its bars" in refused.value.sentence
    assert "Side by side" in refused.value.sentence
    opened = Asking(tmp_path).last("/open", json.loads(undersong.to_json(made)))
    assert opened["work"] is None
    assert opened["why"] == refused.value.sentence
    assert opened["answer"]["summary"]["title"] == FROST.title


def test_of_a_level_only_what_its_own_level_lacks_is_named() -> None:
    """And not what the last level that was tried differs in besides."""
    settings = replace(Work(Source(bundled="frost-on-the-allotments")).settings, level=1)
    one = begun(Work(Source(bundled="frost-on-the-allotments"), settings=settings))
    made = session_of(one).arrange(one.weights, one.conditions)
    more = replace(made, conditions=replace(made.conditions, costliest=Costliest()))
    with pytest.raises(Refusal) as refused:
        work_of(more)
    assert "no settings for all that was asked of its bars, so" in refused.value.sentence


def test_where_no_settings_can_be_tried_no_part_is_blamed() -> None:
    """A highest fret that lies beyond the third octave with that capo."""
    high = Style(highest=HIGHEST_SEMITONE)
    made = undersong.arrange(FROST, instrument=presets.instrument(capo="3"), style=high)
    with pytest.raises(Refusal, match="no settings for what it was asked for, so"):
        work_of(made)


def test_a_hand_of_a_file_of_her_own_is_refused() -> None:
    made = undersong.arrange(FROST, hand=replace(presets.hand("medium"), may_bar="I"))
    with pytest.raises(Refusal, match="its hand"):
        work_of(made)


def test_an_opened_answer_brings_its_work(tmp_path: Path) -> None:
    made = undersong.arrange(FROST)
    opened: Any = Asking(tmp_path).last("/open", json.loads(undersong.to_json(made)))
    assert opened["work"]["tune"] == {"bundled": "frost-on-the-allotments"}
    assert opened["why"] is None
    assert "frost-on-the-allotments" in corpus.names()
