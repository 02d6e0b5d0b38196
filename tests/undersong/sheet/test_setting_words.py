"""Instrument and hand in a sentence."""

from dataclasses import replace

import pytest

from fretboard.presets import hand, hands, instrument, instruments
from undersong.sheet.setting_words import hand_called, hand_words, instrument_words


@pytest.mark.parametrize(
    ("name", "called", "labelled"),
    [
        ("medium", "medium hand, span 205 mm", "medium, span 205 mm"),
        ("beginner", "beginner hand, span 205 mm, without little finger",
         "beginner, span 205 mm, without little finger"),
        ("190mm", "hand of span 190 mm", "span 190 mm"),
        ("noter", "noter", "noter"),
        ("thumb-off-bass", "thumb-off-bass hand, span 205 mm, thumb off the bass string",
         "thumb-off-bass, span 205 mm, thumb off the bass string"),
    ],
)  # fmt: skip
def test_a_hand_is_called_once(name: str, called: str, labelled: str) -> None:
    assert hand_called(hand(name)) == called
    assert hand_words(hand(name)) == labelled


def test_several_fingers_are_left_out_in_a_list() -> None:
    assert hand_called(replace(hand("180"), not_used="MRP")) == (
        "hand of span 180 mm, without middle, ring and little finger"
    )


def test_no_noun_stands_twice() -> None:
    mine = replace(instrument(), name="Aunt Ivy's dulcimer")
    assert instrument_words(mine) == "Aunt Ivy's dulcimer"
    assert instrument_words(instrument("bass")) == "bass instrument"
    assert hand_called(replace(hand("medium"), name="left hand")) == "left hand, span 205 mm"
    for one in instruments():
        assert instrument_words(one.instrument).count("instrument") == 1
    for each in hands():
        assert hand_called(each.hand).count("hand") == (not each.hand.noter)
