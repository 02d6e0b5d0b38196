"""The melody's terms, by hand. Open strings D3 A3 D4 (50 57 62); see ``passage``.

Frets of the melody string sound: 0 D4 62, 1 E4 64, 2 F♯4 66, 3 G4 67, 4 A4 69. Severity of a
clash by interval class (the contract's own figures, common practice, no source): semitone 3,
tritone 2, whole tone 1.
"""

from dataclasses import replace

import pytest

from scoring.carrier import carrier
from scoring.choice import Shapes
from scoring.drones import drone_clashes
from scoring.moment import Moment
from tests.scoring.passage import HAND, STANDARD, amounts, moment, step
from tune.time import QUARTER

BASS_AND_MIDDLE = (True, True, False)


def sung(melody: int, chord: str | None = "D", **changes: object) -> Moment:
    made = moment(chord, **changes)
    strikes = (BASS_AND_MIDDLE, (True, True, True))
    return replace(made, texture="solo", melody=melody, sings=True, strikes=strikes)


def test_the_carrier_is_the_string_nearest_to_the_player() -> None:
    rows = [
        (step("x-3-0", "-I-").grip, (False, True, True)),  # D4 on both
        (step("x-3-x", "-I-").grip, (False, True, False)),
        (step("7-x-x", "T--").grip, (True, False, False)),
        (step("x-x-1", "--I").grip, (False, False, True)),  # E4, not the melody
    ]
    shapes = Shapes.of(rows, STANDARD, HAND)
    assert carrier(shapes, sung(62)).tolist() == [2, 1, 0, -1]


def test_crossing_counts_the_courses_from_the_melody_string() -> None:
    here = [step("0-0-0"), step("0-3-x", "-I-"), step("7-x-x", "T--", role="melody")]
    assert amounts("melody-crossed", here, sung(62)) == [0, 1, 4]


def test_crossing_counts_where_a_note_begins_and_in_a_solo_only() -> None:
    crossed = [step("0-3-x", "-I-")]
    held = replace(sung(62), sings=False)
    assert amounts("melody-crossed", [step("0-3-x", "-I-", struck="b..")], held) == [0]
    assert amounts("melody-crossed", crossed, moment()) == [0]
    assert amounts("melody-crossed", crossed, replace(sung(62), texture="drone")) == [0]


def test_a_thinned_strum_counts_the_strings_between_bass_and_melody() -> None:
    here = [step("0-0-0"), step("0-x-0"), step("0-x-0", struck="..m")]
    assert amounts("thin-strum", here, sung(62)) == [0, 1, 1]  # the bass is not the strum's
    assert amounts("left-out", here, sung(62)) == [0, 0, 0]
    assert amounts("thin-strum", here, moment()) == [0, 0, 0]


def test_a_song_counts_what_its_strum_leaves_out_as_ever() -> None:
    assert amounts("left-out", [step("0-0-x")], moment()) == [1]


def test_a_bass_note_gives_way_to_the_open_string_or_to_the_melody() -> None:
    drone, rings = step("0-0-0", role="drone"), step("0-0-0", struck=".um")
    melody = step("7-x-x", "T--", role="melody")
    here = [drone, rings, melody, step("0-0-0", role="root")]
    assert amounts("drone-bass", here, sung(62)) == [1, 1, 1, 0]  # a bass note was asked for
    unasked = replace(sung(62), strikes=((False, True, False),))
    assert amounts("drone-bass", here, unasked) == [1, 0, 0, 0]
    assert amounts("drone-bass", here, replace(sung(62), texture="drone")) == [0, 0, 0, 0]


@pytest.mark.parametrize(("role", "missed"), [("drone", 0), ("melody", 0), ("root", 1)])
def test_a_drone_or_the_melody_is_no_missed_answer(role: str, missed: int) -> None:
    asked = {"roles": frozenset({"fifth"}), "fallback": frozenset({"root", "drone", "melody"})}
    here = replace(sung(62), **asked)  # type: ignore[arg-type]
    assert amounts("missed-answer", [step("0-0-0", role=role)], here) == [missed]


@pytest.mark.parametrize(
    ("fret", "pitch", "severity"),
    [
        ("0", 62, 0),  # D over D and A: octave and fourth
        ("1", 64, 1),  # E over D: a whole tone
        ("2", 66, 0),  # F♯ over D: a third; over A: a sixth
        ("3", 67, 1),  # G over A: a whole tone
        ("5", 71, 1),  # B over A: a whole tone
        ("6", 72, 1),  # C over D: a whole tone
        ("6+", 73, 3),  # C♯ over D: a semitone
    ],
)
def test_open_strings_clash_by_interval_and_eighth(fret: str, pitch: int, severity: int) -> None:
    fingers = "---" if fret == "0" else "--I"
    here = [step(f"0-0-{fret}", fingers, role="drone")]
    over = replace(sung(pitch), texture="drone")
    assert amounts("drone-clash", here, over) == [2 * severity]  # a quarter is two eighths
    assert amounts("drone-clash", here, replace(over, length=3 * QUARTER)) == [6 * severity]
    assert amounts("drone-clash", here, replace(over, melody=None, sings=False)) == [0]


def test_a_tritone_counts_two_and_stopped_strings_nothing() -> None:
    # G♯4 on a fretboard that has it: D3 below it is a tritone, A3 a semitone
    here = [step("0-0-x", struck="bu.", role="drone")]
    assert amounts("drone-clash", here, replace(sung(68), texture="drone")) == [2 * (2 + 3)]
    stopped = [step("1-1-x", "II-", struck="bu.")]  # E3 and B3: not open
    assert amounts("drone-clash", stopped, sung(65)) == [0]


def test_open_strings_foreign_to_the_chord_clash_in_a_solo_struck_or_not() -> None:
    # Under G (G B D) the open A3 is foreign; the open D's are its fifth.
    struck, rings = step("3-0-3", "R-I"), step("3-0-3", "R-I", struck="b.m")
    assert amounts("clash", [struck, rings], sung(67, "G")) == [2, 2]
    assert amounts("clash", [struck, rings], moment("G")) == [0, 2]  # in a song ringing ones only
    assert amounts("clash", [struck], replace(sung(67, "G"), texture="drone")) == [0]


def test_an_open_bass_clashes_as_a_drone_or_ringing_and_never_as_the_melody() -> None:
    # Under A (A C♯ E) the open D3 is foreign.
    drone, passing = step("0-0-4", "--I", role="drone"), step("0-0-4", "--I", role="passing")
    rings = step("0-0-4", "--I", struck=".um")
    assert amounts("clash", [drone, passing, rings], sung(69, "A")) == [2, 0, 2]
    melody = step("0-x-x", struck="b..", role="melody")
    assert amounts("clash", [melody], sung(50, "A")) == [0]
    on_top = step("4-0-0", "I--")  # D4 open on the melody string is the melody itself
    assert amounts("clash", [on_top], sung(62, "A")) == [0]


def test_clashes_are_told_with_their_place_and_length() -> None:
    begun = replace(sung(64), texture="drone", bar=3, offset=QUARTER)
    goes_on = replace(begun, sings=False, bar=4, offset=0)
    choices = [step("0-0-1", "--I", role="drone"), step("0-0-1", "--I", struck="...")]
    (one,) = drone_clashes(choices, [begun, goes_on], STANDARD)
    assert (one.bar, one.offset, one.length) == (3, QUARTER, 2 * QUARTER)
    assert (one.course, one.pitch, one.melody, one.name) == (0, 50, 64, "major ninth")
    assert (one.severity, one.amount) == (1, 4)
    again = drone_clashes(choices, [begun, replace(goes_on, sings=True)], STANDARD)
    assert [clash.length for clash in again] == [QUARTER, QUARTER]


def test_the_clashes_add_up_to_the_term() -> None:
    shapes = [step("0-0-6+", "--I", role="drone"), step("0-0-3", "--I", struck="..m")]
    moments = [sung(73), sung(67)]
    told = sum(clash.amount for clash in drone_clashes(shapes, moments, STANDARD))
    assert told == sum(amounts("drone-clash", shapes, moments)) == 2 * 3 + 2
