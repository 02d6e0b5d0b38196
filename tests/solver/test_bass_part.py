"""Bass parts: where their notes stand, what they may be, and the best of them by brute force."""

from dataclasses import replace

import pytest

from fretboard.frets import fret_label
from fretboard.hand import Hand
from fretboard.presets import instrument
from scoring.weights import Weights
from solver.bass_part import usual_bass_ceiling
from solver.search import Search
from solver.style import OCTAVE, Style
from tests.solver.bass_instances import tiny_part
from tests.solver.laid_out import at, bar, bass, lay, tune
from tests.solver.test_oracles import book_of, found_by_search, hold_together
from tune.chord import Chord
from tune.time import quarters
from undersong.api import read_tune

HAND = Hand()
EIGHT = ("D", "", "G", "", "A", "", "D", "")


def test_a_figure_goes_up_to_the_octave_and_back() -> None:
    def figure(metre: str) -> str:
        return bass(lay(tune(metre, "D", ""), "figure", texture="bass"))[0]

    assert figure("4/4") == "0:R 1:5 or R 2:8 or R 3:5 or R"
    assert figure("3/4") == "0:R 1:5 or R 2:8 or R"
    assert figure("2/2") == "0:R 1:5 or R 2:8 or R 3:5 or R"
    assert figure("2/4") == "0:R 1/2:5 or R 1:8 or R 3/2:5 or R"
    assert figure("6/8") == "0:R 1:5 or R 3/2:8 or R 5/2:5 or R"
    assert figure("9/8") == "0:R 3/2:5 or R 3:8 or R"


def test_a_fill_leads_from_section_to_section_and_none_stands_between() -> None:
    named = bar(5, "4/4", "G", section="B")
    laid = bass(lay(tune("4/4", "D", "", "", "", named, "", "D", ""), "roots", texture="bass"))
    assert laid[3] == "0:R 2:R 3:any 7/2:any"
    assert laid[:3] == ["0:R 2:R"] * 3
    assert laid[4:] == ["0:R 2:R"] * 4


@pytest.mark.parametrize("manner", ["held", "walking", "runs", "free"])
def test_other_manners_have_no_fill(manner: str) -> None:
    named = bar(5, "4/4", "G", section="B")
    song = tune("4/4", "D", "", "", "", named, "", "D", "")
    plain = lay(song, manner)
    part = lay(song, manner, texture="bass")
    assert bass(part) == bass(plain)


def test_a_section_that_ends_as_the_tune_does_closes_instead() -> None:
    again = bar(5, "4/4", "D", section="again")
    laid = bass(lay(tune("4/4", "D", "G", "A", "D", again, "G", "A", "D"), "roots", texture="bass"))
    assert laid[3] == laid[7] == "0:R 2:R"


def test_places_to_breathe_stand_at_every_fourth_bar_within_a_section() -> None:
    laid = lay(tune("4/4", *EIGHT, "G", "", "", ""), "roots", texture="bass")
    breaths = [(m.bar, quarters(m.offset)) for m in laid if m.breath]
    assert breaths == [(4, 3), (8, 3)]
    assert at(laid, 4, 3).strikes == ((False, False, False),)
    walking = lay(tune("4/4", *EIGHT), "walking", texture="bass")
    assert not any(m.breath for m in walking), "a note stands there"


def test_nothing_but_the_bass_is_struck_or_sounds() -> None:
    for moment in lay(tune("4/4", *EIGHT), "alternating", texture="bass"):
        assert not any(any(struck[1:]) for struck in moment.strikes)
        assert moment.plays == (True, False, False)
        assert not moment.judged


@pytest.mark.parametrize(
    ("chord", "root", "fifth"),
    [("D", "0", "4"), ("G", "3", "0"), ("A", "4", "1"), ("Em", "1", "5"), ("Bm", "5", "2"),
     ("C", "6", "3"), ("F#m", "2", "6+"), ("Am", "4", "1")],
)  # fmt: skip
def test_root_and_fifth_on_the_d_string(chord: str, root: str, fifth: str) -> None:
    # TRADE "Bass" (computed there with music21): the low fifths, those up to the ceiling
    song = tune("4/4", chord, "")
    style = Style(texture="bass", manner="alternating")
    asked = Weights.of({"missed-answer": 5000})  # whatever the way there costs the hand
    answer = Search(song, instrument(), HAND, style).solve(asked)
    frets = [fret_label(c.grip.frets[0]) for c in answer.choices if c.struck[0]]
    assert frets[:2] == [root, fifth]


def test_the_usual_ceiling_is_the_highest_octave_of_a_root() -> None:
    # frets are semitones: D lies at 0 and 12, G at 5 and 17, A at 7 and 19 of a D string
    standard = instrument()
    assert usual_bass_ceiling(tune("4/4", "D"), standard) == OCTAVE
    assert usual_bass_ceiling(tune("4/4", "D", "G"), standard) == 17
    assert usual_bass_ceiling(tune("4/4", "D", "G", "A7"), standard) == 19
    assert usual_bass_ceiling(tune("4/4", "G"), standard.with_capo(5)) == OCTAVE
    short = replace(
        standard.courses[0], frets=tuple(f for f in standard.courses[0].frets if f < 15)
    )
    few = replace(standard, courses=(short, *standard.courses[1:]))
    assert usual_bass_ceiling(tune("4/4", "A"), few) == max(short.frets)


def test_the_octave_is_an_octave_above_the_lowest_root() -> None:
    song = read_tune("harrow-lane")
    ceiling = usual_bass_ceiling(song, instrument())
    style = Style(texture="bass", manner="figure", bass_ceiling=ceiling)
    answer = Search(song, instrument(), HAND, style).solve(Weights())
    octaves = [
        (moment.chord, choice.grip.frets[0])
        for moment, choice in zip(answer.moments, answer.choices, strict=True)
        if choice.role == "octave"
    ]
    assert (Chord("D"), 12) in octaves
    assert set(octaves) <= {(Chord("D"), 12), (Chord("G"), 17), (Chord("A", "7"), 19),
                            (Chord("E", "m"), 14), (Chord("B", "m"), 21)}  # fmt: skip


def _counted_out(seeds: range) -> int:
    """Compares the search with every sequence; how many could be played."""
    played = 0
    for seed in seeds:
        case = tiny_part(seed)
        answer = found_by_search(case)
        hold_together(case, answer, book_of(case).gathered())
        played += answer is not None
    return played


def test_every_sequence_counted_out() -> None:
    assert _counted_out(range(60)) > 30


@pytest.mark.slow
@pytest.mark.parametrize("part", range(10))
def test_every_sequence_of_many(part: int) -> None:
    """2,000 instances."""
    assert _counted_out(range(1_000 + 200 * part, 1_200 + 200 * part)) > 100
