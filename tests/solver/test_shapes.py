"""Which shapes a moment allows, against chords and bass notes that any player knows."""

from dataclasses import replace

import pytest

from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.presets import instrument
from scoring.choice import Choice
from scoring.moment import Moment, Strokes
from solver.errors import ArrangeError
from solver.held import Held
from solver.moments import moments_of
from solver.result import PROVEN, UNPROVEN, Arrangement, Proof
from solver.righthand import right_hand
from solver.roles import bass_roles
from solver.search import search
from solver.style import Style
from tests.solver.made import TWO_FINGERS, case_of, tune_of
from tune.chord import parse_chord

STANDARD = instrument()  # D3 A3 D4 with 6+
WIDE = Style(bass_ceiling=12, highest=12)


def moment_of(chord: str, manner: str = "roots", hand: str = "full-strum") -> Moment:
    style = Style(manner=manner, right_hand=right_hand(hand))
    return moments_of(tune_of(chord), style, 3)[0]


def shapes(moment: Moment, style: Style = WIDE) -> set[tuple[int, ...]]:
    return {grip.frets for grip, _ in rows_of(moment, Hand(), style)}


def rows_of(moment: Moment, hand: Hand, style: Style = WIDE) -> list[tuple[Grip, Strokes]]:
    shapes = Held(STANDARD, hand, style).at(moment).shapes
    return [shapes.row(row) for row in range(len(shapes))]


def test_every_string_struck_sounds_a_tone_of_the_chord_and_the_bass_its_root() -> None:
    moment = replace(moment_of("G"), strikes=((True, True, True),))
    found = shapes(moment)
    assert found
    for frets in found:
        pitches = [STANDARD.pitch(course, fret) for course, fret in enumerate(frets)]
        assert {pitch % 12 for pitch in pitches} <= {7, 11, 2}
        assert pitches[0] % 12 == 7
        assert min(pitches) == pitches[0]
    # G is 3-1-0 (semitones 5, 2, 0), a shape of every beginners' sheet
    assert (5, 2, 0) in found
    # 3-3-5: the same bar chord, its melody string at fret 5 (9 semitones)
    assert (5, 5, 9) in found


def test_frets_stop_at_the_styles_limits() -> None:
    moment = replace(moment_of("D"), strikes=((True, True, True),))
    low = shapes(moment, Style(bass_ceiling=0, highest=4))
    assert low
    assert all(frets[0] == 0 and max(frets) <= 4 for frets in low)
    assert low < shapes(moment)


def test_strings_below_the_bass_only_where_the_player_says_so() -> None:
    moment = replace(moment_of("D"), strikes=((True, True, True),))
    strict, free = shapes(moment), shapes(moment, replace(WIDE, bass_lowest=False))
    crossing = (12, 0, 0)  # D4 in the bass over an open A3
    assert crossing not in strict
    assert crossing in free
    assert strict < free


def test_a_string_not_struck_is_silent_or_rings_on_a_tone_or_open() -> None:
    moment = moment_of("G", hand="bass-then-strum")
    middle = {frets[1] for frets in shapes(moment)}
    assert -1 in middle
    assert 0 in middle, "A rings open under G: allowed, and priced as a clash"
    tones = {fret for fret in STANDARD.frets(1) if (57 + fret) % 12 in (7, 11, 2) and fret <= 12}
    assert middle - {-1, 0} <= tones


def test_a_string_that_the_stroke_leaves_out_is_silent() -> None:
    moment = moment_of("G", hand="full-strum")
    assert moment.strikes == ((True, True, True), (True, True, False))
    rows = rows_of(moment, TWO_FINGERS)
    assert {grip.frets[2] for grip, struck in rows if not struck[2]} == {-1}


def test_a_damped_bass_does_not_ring_and_a_held_one_must() -> None:
    held = moments_of(tune_of("D"), Style("held"), 3)[1]
    damped = moments_of(tune_of("D"), Style("held", right_hand("damped-bass-then-strum")), 3)[1]
    assert {frets[0] for frets in shapes(held)} == {0, 12}
    assert {frets[0] for frets in shapes(damped)} == {-1}


def test_rows_stand_in_the_order_that_settles_ties() -> None:
    rows = rows_of(moment_of("D", hand="bass-then-strum"), TWO_FINGERS)
    keys = [(grip.frets, grip.fingers, grip.place, struck) for grip, struck in rows]
    assert keys == sorted(set(keys))


@pytest.mark.parametrize(
    ("chord", "pitch", "roles"),
    [
        ("D", 50, ["root"]),
        ("D", 57, ["fifth"]),
        ("D", 54, ["third"]),
        ("D", 52, ["passing", "neighbour", "approach"]),  # E, in the scale of D
        ("D", 51, []),  # Eb, not in the scale
        ("D/F#", 54, ["slash bass"]),  # one name only, though it is the third as well
        ("D/E", 52, ["slash bass"]),
        ("A7", 55, ["seventh"]),
    ],
)
def test_what_a_bass_note_is_called(chord: str, pitch: int, roles: list[str]) -> None:
    moment = moment_of("D", manner="walking")
    tones = frozenset(parse_chord(chord).degrees) | {"slash bass"}
    asked = tones | {"passing", "neighbour", "approach"}
    made = replace(moment, chord=parse_chord(chord), roles=asked)
    assert bass_roles(made, pitch, STANDARD) == roles


def test_a_foreign_note_needs_leave() -> None:
    moment = replace(moment_of("D"), roles=frozenset({"root", "third", "fifth"}))
    assert bass_roles(moment, 52, STANDARD) == []


def test_the_fourth_is_a_bass_note_in_its_own_manner_only() -> None:
    """G under D: an alternate fourth where that is asked for, else nothing."""
    asked = replace(moment_of("D"), roles=frozenset({"alternate fourth"}))
    assert bass_roles(asked, 55, STANDARD) == ["alternate fourth"]
    assert bass_roles(moment_of("D"), 55, STANDARD) == []


def test_an_arrangement_counts_its_own_cost() -> None:
    case = case_of("D", "A7", "D")
    answer = search(*case.asked)
    made = Arrangement(
        case.tune, case.instrument, case.hand, case.style, case.weights,
        answer.moments, answer.choices, Proof(PROVEN, answer.cost, 0),
    )  # fmt: skip
    assert made.cost == answer.cost
    assert made.bill.total == sum(made.bill.at(index) for index in range(len(answer.moments)))
    with pytest.raises(ArrangeError, match="one choice for every moment"):
        replace(made, choices=answer.choices[:-1])


@pytest.mark.parametrize(
    ("status", "gap", "complaint"),
    [
        ("optimal", 0, "'proven best' or 'best so far', not 'optimal'"),
        (PROVEN, 1, "has no gap"),
        (UNPROVEN, -1, "below nothing"),
    ],
)
def test_a_proof_that_cannot_be(status: str, gap: int, complaint: str) -> None:
    with pytest.raises(ArrangeError, match=complaint):
        Proof(status, 100, gap)
    assert Proof(UNPROVEN, 100, 3).gap == 3


def test_a_choice_is_equal_by_what_is_played() -> None:
    rows = rows_of(moment_of("D"), TWO_FINGERS)
    grip, struck = rows[0]
    assert Choice(grip, struck, "root") == Choice(grip, struck, "root")
    assert Choice(grip, struck, "root") != Choice(grip, struck, "fifth")
