"""What must hold of bass parts, whatever the tune; their graph against networkx and CP-SAT.

A bass part has one string. So it is the same part on any instrument with that string, under any
limit for the others, with any right hand whose bass notes fall alike.
"""

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import strategies as st

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from fretboard.presets import instrument
from scoring.weights import Weights
from solver.bass_part import usual_bass_ceiling
from solver.righthand import RightHand, Stroke, right_hand
from solver.search import Answer, search
from solver.style import Style, manners_in
from tests.solver.bass_instances import small_part, tiny_part, tiny_part_again
from tests.solver.instances import Instance
from tests.solver.laid_out import bar, bass, lay, tune
from tests.solver.test_conditions_melody import compared
from tests.solver.test_oracles import in_full_until
from tests.solver.test_relations import SEEDS, answer_of, cost_of, examples, hold
from tune.time import QUARTER

MAKERS = st.sampled_from([tiny_part, small_part, tiny_part_again])
Make = Callable[[int], Instance]


def heard(answer: Answer | None) -> object:
    """What the bass string does, and what it costs."""
    if answer is None:
        return None
    line = [(c.grip.frets[0], c.grip.fingers[0], c.struck[0], c.role) for c in answer.choices]
    return answer.cost, line


def upper_strings(made: Instrument, up: int) -> Instrument:
    """The same with the strings above the bass tuned so many semitones up."""
    rest = (replace(course, open=max(24, min(84, course.open + up))) for course in made.courses[1:])
    return replace(made, courses=(made.courses[0], *rest))


@examples(15, 200)
def test_the_other_strings_may_be_tuned_as_they_like(count: int) -> None:
    def relation(make: Make, seed: int, up: int) -> None:
        case = make(seed)
        other = replace(case, instrument=upper_strings(case.instrument, up))
        assert heard(answer_of(other)) == heard(answer_of(case))

    hold(count, MAKERS, SEEDS, st.integers(-12, 12), for_all=relation)


@examples(15, 200)
def test_the_other_strings_have_no_say(count: int) -> None:
    def relation(make: Make, seed: int, highest: int) -> None:
        case = make(seed)
        style = replace(case.style, highest=highest, bass_lowest=not case.style.bass_lowest)
        assert heard(answer_of(replace(case, style=style))) == heard(answer_of(case))

    hold(count, MAKERS, SEEDS, st.integers(0, 12), for_all=relation)


def bass_only(hand: RightHand) -> RightHand:
    """The same bass notes, nothing else struck."""
    bars = tuple(
        (metre, tuple(Stroke(one.tick, "bass") for one in strokes if one.new_bass))
        for metre, strokes in hand.bars
    )
    return replace(hand, bars=bars)


@examples(15, 200)
def test_what_is_struck_above_the_bass_is_not_heard(count: int) -> None:
    def relation(make: Make, seed: int) -> None:
        case = make(seed)
        style = replace(case.style, right_hand=bass_only(case.style.right_hand))
        assert heard(answer_of(replace(case, style=style))) == heard(answer_of(case))

    hold(count, MAKERS, SEEDS, for_all=relation)


@examples(15, 200)
def test_a_higher_ceiling_never_costs_more(count: int) -> None:
    def relation(make: Make, seed: int, up: int) -> None:
        case = make(seed)
        style = replace(case.style, bass_ceiling=case.style.bass_ceiling + up)
        assert cost_of(replace(case, style=style)) <= cost_of(case)

    hold(count, MAKERS, SEEDS, st.integers(1, 7), for_all=relation)


@examples(10, 100)
def test_a_dearer_breath_is_never_missed_more_often(count: int) -> None:
    """Nor does the part become cheaper, or dearer by more than the breaths it missed."""

    def relation(make: Make, seed: int, more: int) -> None:
        case = make(seed)
        asked = replace(case, weights=case.weights.updated({"no-breath": 0}))
        dear = replace(case, weights=case.weights.updated({"no-breath": more}))
        one, other = answer_of(asked), answer_of(dear)
        assert (one is None) == (other is None)
        if one is None or other is None:
            return
        assert one.cost <= other.cost <= one.cost + more * breathless(one)
        assert breathless(other) <= breathless(one)

    hold(count, MAKERS, SEEDS, st.integers(1, 300), for_all=relation)


def breathless(answer: Answer) -> int:
    """Places to breathe that the bass sounds through."""
    pairs = zip(answer.moments, answer.choices, strict=True)
    return sum(moment.breath and choice.grip.frets[0] >= 0 for moment, choice in pairs)


@pytest.mark.parametrize("manner", manners_in("bass"))
def test_a_bass_instrument_is_played_like_the_ordinary_one_an_octave_lower(manner: str) -> None:
    low = instrument("bass")
    ordinary = replace(instrument(), scale_mm=low.scale_mm, spacing_mm=low.spacing_mm)
    song = tune("4/4", "D", "Bm", "G", "A7", bar(5, "4/4", "Em", section="B"), "G A@2", "D", "D")
    answers = []
    for one in (low, ordinary):
        style = Style(texture="bass", manner=manner, bass_ceiling=usual_bass_ceiling(song, one))
        answers.append(search(song, one, Hand(), style, Weights()))
    assert heard(answers[0]) == heard(answers[1])
    pitches = [
        [one.pitch(0, c.grip.frets[0]) for c in answer.choices if c.struck[0]]
        for one, answer in zip((low, ordinary), answers, strict=True)
    ]
    assert pitches[0] == [pitch - 12 for pitch in pitches[1]]


def test_root_and_fifth_take_bar_about_in_a_waltz() -> None:
    # Bass Lessons! (TRADE "Bass"); the place to breathe is common practice, no source
    laid = lay(tune("3/4", "D", "", "", "", "", ""), "alternating", texture="bass")
    assert bass(laid) == ["0:R", "0:5 or R", "0:R", "0:5 or R", "0:R", "0:R"]
    assert [(moment.bar, moment.offset // QUARTER) for moment in laid if moment.breath] == [(4, 2)]


def test_a_waltz_with_two_bass_notes_has_root_and_fifth_in_the_bar() -> None:
    # Bass Lessons!: "root/fifth on 1 and 3" (TRADE "Bass")
    strokes = (Stroke(0, "bass"), Stroke(2 * QUARTER, "bass"))
    song = tune("3/4", "D", "", "G", "")
    hand = replace(right_hand("bass-only"), bars=((song.metre, strokes),))
    style = Style(texture="bass", right_hand=hand)
    answer = search(song, instrument(), Hand(), style, Weights.of({"missed-answer": 5000}))
    frets = [c.grip.frets[0] for c in answer.choices if c.struck[0]]
    assert frets == [0, 7, 0, 7, 5, 0, 5, 5]  # D 0/4, G 3/0, and a root to close


@pytest.mark.parametrize("manner", ["roots", "alternating", "figure"])
@pytest.mark.parametrize(
    ("metre", "notes"), [("2/4", 2), ("3/4", 2), ("4/4", 2), ("6/8", 3), ("9/8", 3), ("12/8", 3)]
)
def test_a_fill_in_every_metre(metre: str, notes: int, manner: str) -> None:
    # half beats, thirds of a compound beat: as in runs (common practice, no source)
    song = tune(metre, "D", "", bar(3, metre, "G", section="B"), "", "D", "")
    laid = lay(song, manner, texture="bass")
    fills = [moment for moment in laid if moment.run and not moment.change]
    assert {moment.bar for moment in fills} == {2}
    assert len(fills) == notes
    assert sum(moment.length for moment in fills) == song.metre.beat
    assert all(moment.moves and moment.roles >= {"passing", "root"} for moment in fills)
    (onto,) = (moment for moment in laid if moment.run and moment.change)
    assert (onto.bar, onto.offset) == (3, 0)


def highest_of(roots: list[int], opens: int) -> int:
    """Semitones up to which root, fifth and octave lie, counted up from each lowest root."""
    lowest = [next(up for up in range(12) if (opens + up - root) % 12 == 0) for root in roots]
    return max(12, *(up + 12 for up in lowest))


@pytest.mark.parametrize("capo", [0, 1, 3, 4])
def test_the_usual_ceiling_counted_up(capo: int) -> None:
    """On a string with every semitone, so that no root is missing."""
    made = instrument("chromatic")
    made = made.with_capo(made.frets(0)[capo])
    opens = made.pitch(0, made.capo)
    chords = {"D": 2, "Bm": 11, "G": 7, "A7": 9, "C/E": 0, "F#m": 6}
    for wanted in range(1, len(chords) + 1):
        names = list(chords)[:wanted]
        most = max(made.frets(0)) - made.capo
        counted = min(highest_of([chords[name] for name in names], opens), most)
        assert usual_bass_ceiling(tune("4/4", *names), made) == counted


def test_the_graph_in_full() -> None:
    asked = in_full_until(12, tiny_part, first=10_000)
    assert asked + in_full_until(5, small_part, first=10_000) >= 8


@pytest.mark.slow
@pytest.mark.parametrize("part", range(5))
def test_the_graph_in_full_of_hundreds(part: int) -> None:
    asked = in_full_until(80, tiny_part, first=500_000 + 10_000 * part)
    assert asked + in_full_until(20, small_part, first=500_000 + 10_000 * part) >= 50


@pytest.mark.parametrize(
    ("make", "seeds", "least"), [(tiny_part, 40, 10), (tiny_part_again, 30, 5)]
)
def test_conditions_on_the_whole_part(make: Make, seeds: int, least: int) -> None:
    assert compared(make, range(30_000, 30_000 + seeds)) >= least


@pytest.mark.slow
@pytest.mark.parametrize("make", [tiny_part, tiny_part_again])
@pytest.mark.parametrize("part", range(5))
def test_conditions_on_many_whole_parts(part: int, make: Make) -> None:
    first = 300_000 + 1_000 * part
    assert compared(make, range(first, first + 200)) >= 20
