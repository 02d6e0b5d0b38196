"""What sounds on every kind of instrument: pitches worked out on paper beside what is written.

Each case fixes one shape in the first bar of two bundled tunes. Its pitches are the open strings
(TRADE "Tunings", octaves there) and the semitones of its frets (TRADE "Frets": 0 1 2 3 4 5 6 6+ 7
are 0 2 4 5 7 9 10 11 12), added up by hand; 60 is middle C.
"""

import json

import pytest

from fretboard.presets import instrument
from fretboard.tuning import pitch_name
from solver.conditions import Conditions
from solver.conditions.bars import Bars
from solver.conditions.pin_text import read_pinned
from solver.conditions.pins import Pin
from solver.result import Arrangement
from solver.righthand import right_hand
from solver.style import Style
from undersong.api import arrange, read_tune
from undersong.sheet.document import to_json
from undersong.sheet.text import text_tab

STYLE = Style(manner="roots", right_hand=right_hand("full-strum"))

CASES = [
    # instrument, tuning, capo, tune, semitones up, shape, its chord, what sounds
    ("standard", "D-A-d", "0", "harrow-lane", 0, "0-0-2", "D", (50, 57, 66)),
    ("standard", "D-A-d", "0", "wet-boots-in-the-porch", 0, "3-1-0", "G", (55, 59, 62)),
    ("standard", "D-A-A", "0", "harrow-lane", 0, "0-0-5", "D", (50, 57, 66)),
    ("standard", "D-A-A", "0", "wet-boots-in-the-porch", 0, "3-1-3", "G", (55, 59, 62)),
    ("standard", "D-A-c", "0", "harrow-lane", 0, "0-0-1", "D", (50, 57, 62)),
    ("standard", "D-A-c", "0", "wet-boots-in-the-porch", 0, "3-1-1", "G", (55, 59, 62)),
    ("standard", "D-A-g", "0", "harrow-lane", 0, "0-0-4", "D", (50, 57, 62)),
    ("standard", "D-A-g", "0", "wet-boots-in-the-porch", 0, "3-1-0", "G", (55, 59, 55)),
    ("standard", "D-G-d", "0", "harrow-lane", 0, "0-4-2", "D", (50, 62, 66)),
    ("standard", "D-G-d", "0", "wet-boots-in-the-porch", 0, "3-0-0", "G", (55, 55, 62)),
    ("standard", "C-G-c", "0", "harrow-lane", -2, "0-0-2", "C", (48, 55, 64)),
    ("standard", "C-G-c", "0", "wet-boots-in-the-porch", -2, "3-1-0", "F", (53, 57, 60)),
    ("standard", "E3 B3 E4", "0", "harrow-lane", 2, "0-0-2", "E", (52, 59, 68)),
    ("standard", "E3 B3 E4", "0", "wet-boots-in-the-porch", 2, "3-1-0", "A", (57, 61, 64)),
    ("baritone", None, "0", "harrow-lane", -5, "0-0-2", "A", (45, 52, 61)),
    ("baritone", None, "0", "wet-boots-in-the-porch", -5, "3-1-0", "D", (50, 54, 57)),
    ("bass", None, "0", "harrow-lane", 0, "0-0-2", "D", (38, 45, 54)),
    ("bass", None, "0", "wet-boots-in-the-porch", 0, "3-1-0", "G", (43, 47, 50)),
    ("four-equidistant", None, "0", "harrow-lane", 0, "0-0-2-0", "D", (50, 57, 66, 62)),
    ("four-equidistant", None, "0", "wet-boots-in-the-porch", 0, "3-1-0-0", "G", (55, 59, 62, 62)),
    ("chromatic", None, "0", "the-vicars-piano", 0, "0+-0+-3", "Eb", (51, 58, 67)),
    ("chromatic", None, "0", "candle-for-the-back-row", 0, "5-5-7", "Bm", (59, 66, 74)),
    # over a capo frets are counted from the nut; 1-1-3, 3-3-5 and 4-4-6+ are printed Em, G and A
    ("standard", "D-A-d", "1", "frost-on-the-allotments", 0, "1-1-3", "Em", (52, 59, 67)),
    ("standard", "D-A-d", "1", "three-odd-gloves", 0, "1-1-3", "Em", (52, 59, 67)),
    ("standard", "D-A-d", "3", "lantern-path", 0, "3-3-5", "G", (55, 62, 71)),
    ("standard", "D-A-d", "3", "wet-boots-in-the-porch", 0, "3-3-5", "G", (55, 62, 71)),
    ("standard", "D-A-d", "4", "kettle-on-at-nine", 0, "4-4-6+", "A", (57, 64, 73)),
    ("standard", "D-A-d", "4", "harrow-lane", -5, "4-4-6+", "A", (57, 64, 73)),
]


def played(
    name: str, tuning: str | None, capo: str, tune: str, semitones: int, shape: str
) -> Arrangement:
    on = instrument(name, tuning=tuning, capo=capo)
    pin = Pin(Bars(1, 1), read_pinned(shape, on))
    song = read_tune(tune).transposed(semitones)
    return arrange(song, instrument=on, style=STYLE, conditions=Conditions(pins=(pin,)))


@pytest.mark.parametrize(
    ("name", "tuning", "capo", "tune", "semitones", "shape", "chord", "sounds"), CASES
)
def test_what_is_written_sounds_as_worked_out(
    name: str, tuning: str | None, capo: str, tune: str, semitones: int, shape: str, chord: str,
    sounds: tuple[int, ...],
) -> None:  # fmt: skip
    made = played(name, tuning, capo, tune, semitones, shape)
    document = json.loads(to_json(made))
    bar = [moment for moment in document["moments"] if moment["written_bar"] == 1]
    assert bar[0]["chord"] == chord
    for moment in bar:
        assert "-".join(string["fret"] for string in moment["strings"]) == shape
        assert tuple(string["midi"] for string in moment["strings"]) == sounds


@pytest.mark.parametrize("case", CASES[::2])
def test_the_page_names_what_the_open_strings_sound(case: tuple[object, ...]) -> None:
    name, tuning, capo, tune, semitones, shape = case[:6]
    made = played(name, tuning, capo, tune, semitones, shape)  # type: ignore[arg-type]
    page = text_tab(made).splitlines()
    opens = [pitch_name(pitch) for pitch in made.instrument.tuning]
    named = next(line for line in page if line.startswith("Tuning"))
    assert named.split()[1] == "-".join(opens)
    assert "as it sounds" in named
    assert ("no capo" in named) == (capo == "0")
    lines = [line.split()[0] for line in page if "|" in line]
    assert lines[: len(opens)] == opens


def test_a_bass_instrument_sounds_an_octave_below_the_standard_one() -> None:
    low, high = (
        [
            string["midi"]
            for moment in json.loads(to_json(played(name, None, "0", "harrow-lane", 0, "0-0-2")))[
                "moments"
            ]
            if moment["written_bar"] == 1
            for string in moment["strings"]
        ]
        for name in ("bass", "standard")
    )
    assert low == [pitch - 12 for pitch in high]
