"""What cannot be played is refused in one sentence with bar, chord and what is missing.

The facts (which notes the strings of a D-A-d dulcimer have) can be read off any fret chart.
"""

from dataclasses import replace

import pytest

from fretboard.hand import Hand
from fretboard.instrument import Course
from fretboard.presets import instrument
from solver.clash import clash_of_bars
from solver.demands import Wanted
from solver.errors import NotPlayable
from solver.refusal import bar_named, note, refuse, refuse_link, unplayable_chord
from solver.righthand import right_hand
from solver.search import search
from solver.style import Style
from tests.solver.instances import Instance
from tests.solver.made import case_of, graph_of
from tune.chord import parse_chord

STANDARD = instrument()
STYLE = Style()
FULL = Style(right_hand=right_hand("full-strum"), highest=4)
ONE_FINGER = Hand(not_used="TMRP", may_bar="")


def refusal(case) -> NotPlayable:
    with pytest.raises(NotPlayable) as refused:
        search(*case.asked)
    text = str(refused.value)
    assert "\n" not in text
    assert text.startswith(f"bar {refused.value.bar}: {refused.value.chord} ")
    return refused.value


def test_a_chord_whose_root_the_bass_string_lacks() -> None:
    """The D string of a diatonic fretboard with 6+ has D E F# G A B C C#, and no Eb."""
    refused = refusal(case_of("D", "D", "D Eb", style=STYLE))
    assert (refused.bar, refused.chord) == (3, "Eb")
    assert str(refused) == (
        "bar 3: Eb cannot be played: the bass string has no Eb up to fret 7; "
        "another tuning, a capo, an extra fret or another key may have it"
    )


def test_the_slash_bass_is_what_the_bass_string_must_have() -> None:
    refused = refusal(case_of("D/F", style=STYLE))
    assert "the bass string has no F up to fret 7" in str(refused)
    assert unplayable_chord(parse_chord("D/F#"), STANDARD, STYLE) is None
    assert unplayable_chord(parse_chord("F/A"), STANDARD, STYLE) is None, "its root is not needed"


def test_the_ceiling_counts_from_the_capo() -> None:
    """B lies at 9 semitones on the D string, 5 above a capo at fret 3 (G)."""
    capo = instrument(capo=3)
    low, high = Style(bass_ceiling=3), Style(bass_ceiling=4)
    b = parse_chord("Bm")
    assert "no B up to fret 4+" in str(unplayable_chord(b, capo, low))
    assert unplayable_chord(b, capo, high) is None
    assert unplayable_chord(parse_chord("D"), capo, Style(bass_ceiling=6)), "below the capo"
    assert unplayable_chord(parse_chord("D"), capo, Style(bass_ceiling=7)) is None


@pytest.mark.parametrize(
    ("chord", "missing"),
    [
        ("Cm", "Eb (third) nor G (fifth)"),
        ("F#dim", "A (third) nor C (fifth)"),
        ("Gsus4", "C (fourth) nor D (fifth)"),
        ("Asus2", "B (second) nor E (fifth)"),
        ("C5", "G (fifth)"),
    ],
)
def test_neither_third_nor_fifth_on_any_string(chord: str, missing: str) -> None:
    """A fretboard that has the root at its second fret and nothing else that the chord needs."""
    made = parse_chord(chord)
    courses = tuple(Course(58 + made.degrees["root"], (2, 12)) for _ in range(3))
    bare = replace(STANDARD, courses=courses)
    style = Style(bass_ceiling=2, highest=2)
    reason = unplayable_chord(made, bare, style)
    assert reason == f"no string has {missing} up to fret 1"
    refused = refusal(case_of(chord, on=bare, style=style))
    assert reason in str(refused)


def test_no_hand_shape() -> None:
    """One finger that may not bar cannot stop E on the bass string and B on the middle one."""
    refused = refusal(case_of("Em", hand=ONE_FINGER, style=FULL))
    assert str(refused) == (
        "bar 1: Em cannot be played: no hand shape has a tone of the chord on every string struck"
    )


def test_no_hand_shape_names_the_tones_that_the_fretboard_lacks() -> None:
    """F is on no string of the standard instrument."""
    refused = refusal(case_of("G7", hand=ONE_FINGER, style=FULL))
    assert str(refused).endswith("every string struck; not on this fretboard: F (seventh)")


def test_a_rest_is_never_refused() -> None:
    graph = graph_of(case_of("D", "N.C."))
    rest = next(m for m in graph.moments if m.chord is None)
    with pytest.raises(AssertionError, match="a rest can always be played"):
        refuse(rest, STANDARD, STYLE)


@pytest.mark.parametrize(("reached", "bar"), [(-1, 1), (0, 1), (3, 2), (99, 2)])
def test_where_no_way_leads_on_the_next_moment_is_named(reached: int, bar: int) -> None:
    moments = graph_of(case_of("D", "G")).moments
    assert [m.bar for m in moments] == [1, 1, 1, 1, 2, 2, 2, 2]
    with pytest.raises(NotPlayable, match="another bass manner or right hand") as refused:
        refuse_link(moments, reached)
    assert refused.value.bar == bar


def test_a_rest_that_cannot_be_reached_is_called_one() -> None:
    moments = graph_of(case_of("D", "N.C.")).moments
    with pytest.raises(NotPlayable, match="bar 2: the rest cannot be reached") as refused:
        refuse_link(moments, 3)
    assert refused.value.chord == ""


def coming_back(*bars: str) -> Instance:
    """The bars played twice, but for the last."""
    case = case_of(*bars, style=STYLE)
    *again, last = case.tune.bars
    again[0] = replace(again[0], repeat_start=True)
    again[-1] = replace(again[-1], repeat_times=2)
    return replace(case, tune=replace(case.tune, bars=(*again, last)))


def test_bars_are_named_as_printed_and_counted_as_played() -> None:
    """The fifth bar that sounds is the third on the page, as the clash has it too."""
    case = coming_back("D", "G", "Eb")
    with pytest.raises(NotPlayable, match=r"^bar 3: Eb cannot be played") as refused:
        search(*case.asked)
    assert refused.value.bar == 5
    clash = clash_of_bars(Wanted(*case.asked[:4]))
    assert clash is not None
    assert clash.bars == (3,)


def test_a_bar_that_fails_when_it_comes_back_is_named_with_its_time() -> None:
    case = coming_back("D", "G", "D")
    moments = graph_of(case).moments
    named = list(dict.fromkeys(bar_named(moment, case.tune) for moment in moments))
    assert named == ["bar 1", "bar 2", "bar 1 (2nd time)", "bar 2 (2nd time)", "bar 3"]
    last_of_second = max(i for i, moment in enumerate(moments) if moment.bar == 2)
    with pytest.raises(NotPlayable, match=r"^bar 1 \(2nd time\): D cannot be reached") as refused:
        refuse_link(moments, last_of_second, case.tune)
    assert refused.value.bar == 3


def test_the_bar_of_a_second_ending_needs_no_time() -> None:
    """It is played once, though the second time through."""
    case = case_of("D", "G", "A", style=STYLE)
    first, one, two = case.tune.bars
    bars = (first, replace(one, endings=(1,), repeat_times=2), replace(two, endings=(2,)))
    tune = replace(case.tune, bars=bars)
    moments = graph_of(replace(case, tune=tune)).moments
    named = list(dict.fromkeys(bar_named(moment, tune) for moment in moments))
    assert named == ["bar 1", "bar 2", "bar 1 (2nd time)", "bar 3"]


@pytest.mark.parametrize(
    ("chord", "names"),
    [
        ("F#", ("F#", "A#", "C#")),
        ("E7", ("E", "G#", "B", "D")),
        ("B", ("B", "D#", "F#")),
        ("Gm", ("G", "Bb", "D")),
        ("Ab", ("Ab", "C", "Eb")),
        ("Db", ("Db", "F", "Ab")),
        ("Bbm", ("Bb", "Db", "F")),
        ("C#m", ("C#", "E", "G#")),
        ("D/A#", ("D", "F#", "A")),
    ],
)
def test_chord_tones_are_named_by_thirds(chord: str, names: tuple[str, ...]) -> None:
    """Spelled by hand: every other letter from the root, as in any theory primer."""
    made = parse_chord(chord)
    assert tuple(note(pc, made) for pc in made.degrees.values()) == names


def test_a_slash_bass_keeps_its_own_name_and_foreign_notes_the_common_one() -> None:
    d = parse_chord("D/A#")
    assert note(10, d) == "A#"
    assert note(10, parse_chord("D")) == "Bb"
