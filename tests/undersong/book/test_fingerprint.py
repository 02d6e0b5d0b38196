"""Fingerprints of values: the same for the same, other for others, in every process."""

import subprocess
import sys
from dataclasses import replace

import pytest

from fretboard.presets import hand
from scoring.weights import Weights
from tests.undersong.book.books import settings
from tests.undersong.running import surroundings
from undersong.book.fingerprint import fingerprint, program
from undersong.levels import levels_for

CODE = (
    "from tests.undersong.book.books import settings; "
    "from undersong.book.fingerprint import fingerprint, program; "
    "print(fingerprint(settings('solo', 'drone')))"
)


def test_another_process_gives_the_same() -> None:
    told = subprocess.run(
        [sys.executable, "-c", CODE],
        capture_output=True,
        text=True,
        check=True,
        env=surroundings(PYTHONHASHSEED="7"),
    ).stdout
    assert told.strip() == fingerprint(settings("solo", "drone"))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (("ab", "c"), ("a", "bc")),
        (("a",), ("a", "")),
        ((1,), (True,)),
        ((1,), ("1",)),
        ((b"1",), ("1",)),
        ((None,), ("",)),
        (((1, 2), 3), (1, (2, 3))),
        (({"a": 1, "b": 2},), ({"a": 2, "b": 1},)),
    ],
)
def test_values_that_differ_have_others(one: tuple[object, ...], other: tuple[object, ...]) -> None:
    assert fingerprint(*one) != fingerprint(*other)


def test_the_order_of_a_mapping_does_not_matter() -> None:
    assert fingerprint({"a": 1, "b": 2}) == fingerprint({"b": 2, "a": 1})
    assert fingerprint({3, 1}) == fingerprint({1, 3})


def test_everything_that_is_set_matters() -> None:
    asked = settings()
    others = [
        replace(asked, hand=hand("small")),
        replace(asked, weights=Weights.of({"stretch": 99})),
        replace(asked, instrument=asked.instrument.with_capo(2)),
        replace(asked, chords="drone"),
        replace(asked, seconds=5.0),
        replace(asked, askings=(replace(asked.askings[0], levels=levels_for("song")),)),
    ]
    assert len({fingerprint(each) for each in (asked, *others)}) == 7


def test_what_cannot_be_written_out_is_no_value() -> None:
    with pytest.raises(TypeError, match="object has no fingerprint"):
        fingerprint(object())


def test_the_program_has_one() -> None:
    assert len(program()) == 64
