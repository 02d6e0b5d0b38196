"""The bass line's terms, by hand. Open strings D3 A3 D4, so bass fret 4 is A3 (see ``passage``)."""

import pytest

from scoring.choice import Choice
from scoring.evaluate import evaluate
from scoring.moment import FOREIGN, ROLES
from scoring.weights import Weights
from tests.scoring.passage import HAND, STANDARD, amounts, moment, step

ROOTS = {"root", "slash bass", "melody"}  # a melody note is no bass line
STEADY = {"root", "octave", "slash bass", "fifth", "alternate fourth", "melody"}


def played(role: str | None) -> Choice:
    """An open bass string struck in that role; None: it only rings."""
    return step("0-0-0", struck=".um" if role is None else "bum", role=role)


@pytest.mark.parametrize("role", ROLES)
def test_a_chord_begins_on_its_root(role: str) -> None:
    off = 0 if role in ROOTS else 1
    here = [played(role)]
    assert amounts("change-off-root", here, moment(change=True)) == [off]
    assert amounts("change-off-root", here, moment(change=True, downbeat=True)) == [off]
    assert amounts("change-off-root", here, moment(downbeat=True)) == [0]


@pytest.mark.parametrize("role", ROLES)
def test_a_bar_begins_on_the_root_also_where_the_chord_goes_on(role: str) -> None:
    off = 0 if role in ROOTS else 1
    here = [played(role)]
    assert amounts("beat-off-root", here, moment(downbeat=True)) == [off]
    assert amounts("beat-off-root", here, moment(downbeat=True, change=True)) == [0]  # not twice
    assert amounts("beat-off-root", here, moment()) == [0]


@pytest.mark.parametrize("role", ROLES)
def test_the_half_bar_has_root_or_fifth(role: str) -> None:
    # half-note alternation root–fifth, or root–fourth in its manner (TRADE "Bass")
    assert amounts("half-bar", [played(role)], moment(half_bar=True)) == [int(role not in STEADY)]
    assert amounts("half-bar", [played(role)], moment()) == [0]


WALKS = {"moves": True, "half_bar": True, "roles": frozenset({"root", "third", "fifth"})}


@pytest.mark.parametrize("role", ROLES)
def test_a_walking_bass_is_not_back_on_its_root_at_the_half_bar(role: str) -> None:
    # D F♯ D F♯ rocks to and fro (common practice, no source)
    again = int(role in {"root", "slash bass"})
    assert amounts("root-again", [played(role)], moment(**WALKS)) == [again]
    for other in (
        {"half_bar": False}, {"moves": False}, {"change": True}, {"run": True},
        {"roles": frozenset({"root"})}, {"roles": frozenset({"fifth"})},  # as a manner may ask
    ):  # fmt: skip
        assert amounts("root-again", [played(role)], moment(**{**WALKS, **other})) == [0]
    assert amounts("root-again", [played(None)], moment(**WALKS)) == [0]


@pytest.mark.parametrize("name", ["change-off-root", "beat-off-root", "half-bar", "high-bass"])
def test_a_bass_that_is_not_struck_is_not_judged(name: str) -> None:
    here = moment(change=name == "change-off-root", downbeat=name == "beat-off-root", half_bar=True)
    high = step("7-0-0", "T--", struck=".um")
    assert amounts(name, [played(None), high], here) == [0, 0]


@pytest.mark.parametrize("role", ROLES)
def test_notes_foreign_to_the_chord(role: str) -> None:
    assert amounts("foreign-bass", [played(role)]) == [int(role in FOREIGN)]


@pytest.mark.parametrize(
    ("fret", "semitones"), [("0", 0), ("3", 0), ("4", 0), ("5", 2), ("6", 3), ("6+", 4), ("7", 5)]
)
def test_the_bass_is_free_up_to_fret_four(fret: str, semitones: int) -> None:
    # frets 0–4 of the bass string by preference, 7 as the ceiling (TRADE "Bass", C)
    finger = "---" if fret == "0" else "M--"
    assert amounts("high-bass", [step(f"{fret}-0-0", finger)]) == [semitones]


def test_over_a_capo_the_bass_is_counted_from_it() -> None:
    # capo at fret 3: fret 7 (12 semitones) is seven above it and free, fret 8 (14) two more
    capo = STANDARD.with_capo(5)
    choices = [step("7-3-3", "M--"), step("8-3-3", "M--")]
    rows = evaluate(choices, [moment()] * 2, capo, HAND, Weights()).amounts
    assert [row.get("high-bass", 0) for row in rows] == [0, 2]


# Steps of the line. Bass frets 0 1 2 3 4 5 6 6+ 7 sound D E F♯ G A B C C♯ D.


def line(name: str, frets: str, **asked: bool) -> list[int]:
    """A term's amounts for a bass line; ``x`` is a moment in which the bass rings on."""
    choices = []
    sounding = "0"
    for fret in frets.split():
        sounding = sounding if fret == "x" else fret
        finger = "---" if sounding == "0" else "M--"
        struck = ".um" if fret == "x" else "bum"
        choices.append(step(f"{sounding}-0-0", finger, struck=struck))
    return amounts(name, choices, moment(**asked))


def test_a_leap_is_what_goes_beyond_a_whole_tone() -> None:
    assert line("bass-leap", "0 1 2 3") == [0, 0, 0, 0]  # 2, 2, 1 semitones
    assert line("bass-leap", "0 0") == [0, 0]
    assert line("bass-leap", "1 3 6 5") == [0, 1, 3, 0]  # 3, 5, 1 semitones
    assert line("bass-leap", "0 4 0 7") == [0, 5, 5, 10]  # 7, 7, 12, up and down alike


def test_a_leap_in_a_walk_counts_three_times() -> None:
    assert line("bass-leap", "0 1 2 3", moves=True) == [0, 0, 0, 0]
    assert line("bass-leap", "0 6 0", moves=True) == [0, 24, 24]  # 10 semitones, 8 beyond a step
    assert line("bass-leap", "3 0 7 0", moves=True) == [0, 9, 30, 30]  # 5, 12, 12 semitones


def test_the_line_remembers_the_last_note_struck() -> None:
    assert line("bass-leap", "0 x x 4") == [0, 0, 0, 5]
    assert line("bass-still", "4 x 4", moves=True) == [0, 0, 1]


def test_a_bass_let_go_is_still_the_last_note_of_the_line() -> None:
    choices = [step("4-0-0", "M--"), step("x-0-0"), step("0-0-0")]
    assert amounts("bass-leap", choices) == [0, 0, 5]


def test_after_a_rest_the_line_begins_anew() -> None:
    choices = [step("0-0-0"), step("x-x-x"), step("4-0-0", "M--"), step("4-0-0", "M--")]
    sounding = moment(moves=True)
    moments = [sounding, moment(None, moves=True), sounding, sounding]
    assert amounts("bass-leap", choices, moments) == [0, 0, 0, 0]
    assert amounts("bass-still", choices, moments) == [0, 0, 0, 1]


def test_standing_still_counts_where_the_bass_should_move() -> None:
    assert line("bass-still", "0 0 1 1", moves=True) == [0, 1, 0, 1]
    assert line("bass-still", "0 0 1 1") == [0, 0, 0, 0]
    assert line("bass-still", "0 7", moves=True) == [0, 0]  # the octave is another note


def test_a_run_goes_by_step() -> None:
    # D–E 2, E–G 3, G–G 0, G–F♯ 1, F♯–D 4: reached by a third, not at all, and by a third
    assert line("broken-run", "0 1 3 3 2 0", run=True) == [0, 0, 1, 1, 0, 1]
    assert line("broken-run", "0 1 3 3 2 0") == [0] * 6
    assert line("broken-run", "0 x x", run=True) == [0, 0, 0]


def test_the_root_that_a_run_leads_to_counts_twice() -> None:
    # where a chord begins: D–E by step, E–A by a fourth
    assert line("broken-run", "0 1 4", run=True, change=True) == [0, 0, 2]


def test_a_run_that_touches_the_root_it_leads_to() -> None:
    # to G: D E F# G, and G again an octave lower or higher; only on the way, where it is told
    g = 7
    assert line("early-root", "0 1 2 3", runs_to=g) == [0, 0, 0, 1]
    assert line("early-root", "3 10", runs_to=g) == [1, 1]
    assert line("early-root", "3 x 2", runs_to=g) == [1, 0, 0]
    assert line("early-root", "0 1 2 3", run=True) == [0] * 4


def test_a_bass_that_sounds_through_a_place_to_breathe() -> None:
    silent, sounding = step("x-x-x", struck="..."), step("0-x-x", struck="...")
    breath = moment(breath=True, texture="bass")
    assert amounts("no-breath", [sounding, silent], breath) == [1, 0]
    assert amounts("no-breath", [sounding, silent], moment()) == [0, 0]
    # the silence itself costs nothing there, and elsewhere by its eighths
    assert amounts("bass-silent", [sounding, silent], breath) == [0, 0]
    assert amounts("bass-silent", [sounding, silent], moment())[1] > 0
