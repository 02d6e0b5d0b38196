"""Notes, lengths, rests, tuplets, accidentals: worked by hand from the ABC standard 2.1, §4."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.tune.abc_tune import lengths, names, pitches, read
from tune.tune import Tune


def test_octaves() -> None:
    """§4.1: C is middle C (MIDI 60), c the octave above, commas and apostrophes an octave each."""
    assert pitches(read("C,, C, C c c' c'' B b")) == [36, 48, 60, 72, 84, 96, 71, 83]
    assert pitches(read("c,' C',")) == [72, 60]


@pytest.mark.parametrize(
    ("key", "sharp_or_flat"),
    [
        ("D", ["D", "E", "F#", "G", "A", "B", "C#"]),
        ("Bb", ["D", "Eb", "F", "G", "A", "Bb", "C"]),
        ("Dmix", ["D", "E", "F#", "G", "A", "B", "C"]),
        ("Ador", ["D", "E", "F#", "G", "A", "B", "C"]),
        ("Em", ["D", "E", "F#", "G", "A", "B", "C"]),
    ],
)
def test_the_signature_holds_for_all_octaves(key: str, sharp_or_flat: list[str]) -> None:
    assert names(read("DEFGABc | d e f g a b c' |", key=key)) == sharp_or_flat * 2


def test_an_accidental_lasts_to_the_bar_line_in_every_octave() -> None:
    """§11.3: the default of propagate-accidentals is ``pitch``."""
    assert names(read("^F F f G | F f")) == ["F#", "F#", "F#", "G", "F", "F"]
    assert names(read("F =F F | F", key="D")) == ["F#", "F", "F", "F#"]
    assert names(read("^^F F __B B _B B")) == ["F##", "F##", "Bbb", "Bbb", "Bb", "Bb"]
    assert pitches(read("^^F __B")) == [67, 69]


def test_how_far_an_accidental_lasts_can_be_set() -> None:
    music = "^F F f"
    assert names(read(music, "I:propagate-accidentals octave")) == ["F#", "F#", "F"]
    assert names(read(music, "%%propagate-accidentals not")) == ["F#", "F", "F"]


def test_a_tied_note_keeps_its_accidental_over_the_bar_line() -> None:
    """Common practice in notation; the next note of that name is plain again."""
    tune = read("^F8-|F4 F4|", metre="4/4")
    assert names(tune) == ["F#", "F#", "F"]
    assert [n.tied for bar in tune.bars for n in bar.notes] == [True, False, False]


def test_ties_and_slurs() -> None:
    def ties(tune: Tune) -> list[bool]:
        return [n.tied for bar in tune.bars for n in bar.notes]

    assert ties(read("C2-C2 C2-C2|")) == [True, False, True, False]
    assert ties(read("C2-D2 E4|")) == [False, False, False]  # to another pitch: a slur
    assert ties(read("C8-|z8|")) == [False, False]
    assert ties(read("C4 -C4|")) == [True, False]  # as old files have it
    assert ties(read("[CE]4-[CE]4| [CE-]4 E4|")) == [True, False, True, False]


def test_lengths() -> None:
    """§4.3, unit 1/8: A is half a quarter; /, //, /4, 3/2 and 3/ as fractions of it."""
    assert lengths(read("A A2 A/ A// A/4 A3/2 A3/ A/2")) == [
        Fraction(1, 2),
        1,
        Fraction(1, 4),
        Fraction(1, 8),
        Fraction(1, 8),
        Fraction(3, 4),
        Fraction(3, 4),
        Fraction(1, 4),
    ]


@given(st.integers(1, 7), st.sampled_from((1, 2, 4, 8)))
def test_any_fraction_of_the_unit(above: int, below: int) -> None:
    assert lengths(read(f"A{above}/{below} |")) == [Fraction(above, below) / 2]


@pytest.mark.parametrize(
    ("metre", "unit"),
    [
        ("4/4", Fraction(1, 2)),
        ("3/4", Fraction(1, 2)),
        ("6/8", Fraction(1, 2)),
        ("2/4", Fraction(1, 4)),
        ("5/8", Fraction(1, 4)),
    ],
)
def test_the_unit_follows_the_metre_where_no_l_stands(metre: str, unit: Fraction) -> None:
    """§3.1.7: a sixteenth under 0.75, else an eighth."""
    from tune.readers.abc import read_abc

    tune = read_abc(f"X:1\nT:Try\nM:{metre}\nK:C\nA A\n")
    assert lengths(tune) == [unit, unit]


def test_the_unit_may_change() -> None:
    assert lengths(read("A4 [L:1/4]A2|A4|\nL:1/2\nA2|")) == [2, 2, 4, 4]


def test_broken_rhythm() -> None:
    """§4.4: > dots the first and halves the second; >> and >>> go further; < the other way."""
    assert lengths(read("A>B")) == [Fraction(3, 4), Fraction(1, 4)]
    assert lengths(read("A<B")) == [Fraction(1, 4), Fraction(3, 4)]
    assert lengths(read("A>>B A<<B")) == [
        Fraction(7, 8),
        Fraction(1, 8),
        Fraction(1, 8),
        Fraction(7, 8),
    ]
    assert lengths(read("A>>>B")) == [Fraction(15, 16), Fraction(1, 16)]
    assert lengths(read("A2 > B2")) == [Fraction(3, 2), Fraction(1, 2)]
    assert lengths(read("A>{g}B A{g}<B")) == [
        Fraction(3, 4),
        Fraction(1, 4),
        Fraction(1, 4),
        Fraction(3, 4),
    ]  # §4.12


@pytest.mark.parametrize(
    ("music", "metre", "expected"),
    [
        ("(2AB", "6/8", [Fraction(3, 4)] * 2),
        ("(3ABA", "4/4", [Fraction(1, 3)] * 3),
        ("(4ABAB", "6/8", [Fraction(3, 8)] * 4),
        ("(5ABABA", "4/4", [Fraction(1, 5)] * 5),
        ("(5ABABA", "6/8", [Fraction(3, 10)] * 5),
        ("(6ABABAB", "4/4", [Fraction(1, 6)] * 6),
        ("(7ABABABA", "4/4", [Fraction(1, 7)] * 7),
        ("(9ABABABABA", "9/8", [Fraction(1, 6)] * 9),
        ("(3:2:2 G4c2", "4/4", [Fraction(4, 3), Fraction(2, 3)]),
        ("(3:2:4 G2A2Bc", "4/4", [Fraction(2, 3), Fraction(2, 3), Fraction(1, 3), Fraction(1, 3)]),
        ("(3 D2E2F2", "4/4", [Fraction(2, 3)] * 3),
        ("(3 D3EF2", "4/4", [1, Fraction(1, 3), Fraction(2, 3)]),
        ("(3::2 A2B c", "4/4", [Fraction(2, 3), Fraction(1, 3), Fraction(1, 2)]),
        ("(3:: ABc", "4/4", [Fraction(1, 3)] * 3),
        ("(3{g}AzB", "4/4", [Fraction(1, 3)] * 3),
        ("(3A>BA", "4/4", [Fraction(1, 2), Fraction(1, 6), Fraction(1, 3)]),
    ],
)
def test_tuplets(music: str, metre: str, expected: list[Fraction]) -> None:
    """§4.13, its table and its examples."""
    assert lengths(read(music, metre=metre)) == expected


def test_a_tuplet_is_marked_on_its_notes() -> None:
    tune = read("(3ABA B2 (5:4:5ABABA")
    assert [n.tuplet for n in tune.bars[0].notes] == [(3, 2)] * 3 + [None] + [(5, 4)] * 5


def test_rests() -> None:
    """§4.5: z and x alike, Z and X for whole bars; y is only a space (§6.1.2)."""
    tune = read("z4 x2 y y3 A2 | Z2 | X | A8 |")
    assert [bar.number for bar in tune.bars] == [1, 2, 3, 4, 5]
    assert [[n.midi for n in bar.notes] for bar in tune.bars] == [
        [None, None, 69],
        [None],
        [None],
        [None],
        [69],
    ]
    assert lengths(tune) == [2, 1, 1, 4, 4, 4, 4]


def test_whole_bar_rests_follow_the_metre() -> None:
    assert lengths(read("Z2 | A6 |", metre="6/8")) == [3, 3, 3]


def test_grace_notes_have_no_length_and_keep_their_place() -> None:
    tune = read("A4 {gf}e4 | {/c}d8 {^e} |", key="D")
    first, second = tune.bars
    assert [(n.name, n.tick, n.length, n.grace) for n in first.notes] == [
        ("A", 0, 20160, False),
        ("G", 20160, 0, True),
        ("F#", 20160, 0, True),
        ("E", 20160, 20160, False),
    ]
    assert [(n.name, n.grace) for n in second.notes] == [("C#", True), ("D", False), ("E#", True)]
    assert second.notes[-1].tick == second.length


def test_signs_among_grace_notes_are_no_notes() -> None:
    assert [n.name for n in read("{!fermata!g}A8|").bars[0].notes] == ["G", "A"]


def test_of_notes_struck_together_the_highest_is_kept() -> None:
    tune = read("[CEG]4 [c2E2]2 | [CEG] [GEC]3/2 [G2E] z/ |")
    assert names(tune) == ["G", "C", "G", "G", "G"]
    assert lengths(tune) == [
        2,
        2,
        Fraction(1, 2),
        Fraction(3, 4),
        1,
        Fraction(1, 4),
    ]  # §4.17: the first note's length
    assert tune.notices == ("bar 1: of notes struck together only the highest is kept",)


def test_one_note_in_brackets_is_nothing_to_tell() -> None:
    assert read("[C]8 |").notices == ()


def test_accidentals_inside_brackets_last_too() -> None:
    assert names(read("[_E4C4] E4 | E8")) == ["Eb", "Eb", "E"]


def test_what_stands_between_notes_does_not_sound() -> None:
    """§4.7, §8.1: back quotes, spaces, reserved signs and score line breaks."""
    tune = read("A2``B2 $ c2 ! d2 |")
    assert names(tune) == ["A", "B", "C", "D"]
    assert tune.notices == ()
    assert read("A8 * |").notices == ("bar 1: the sign * has no meaning and is ignored",)


@pytest.mark.parametrize(
    ("key", "midi"),
    [
        ("C octave=-1", 48),
        ("C octave=1", 72),
        ("C treble-8", 48),
        ("C clef=treble+8", 72),
        ("C bass", 60),
        ("C clef=bass+8 octave=-1", 60),
        ("C middle=d stafflines=3 mozart:noteC=snare-drum", 60),
    ],
)
def test_octave_and_clef(key: str, midi: int) -> None:
    """§4.6: octave= and the 8 of a clef move the sound; a bare clef does not."""
    assert pitches(read("C8|", key=key)) == [midi]


def test_transpose_moves_the_whole_tune() -> None:
    """§4.6: transpose= is how far the sound lies from what is written; chords go along."""
    tune = read('"C"C4 "G7"B,4|', key="C transpose=-2")
    assert (str(tune.key), pitches(tune)) == ("Bb major", [58, 57])
    assert [c.chord.symbol for c in tune.bars[0].chords if c.chord] == ["Bb", "F7"]
    assert tune.notices == ("the tune is moved by -2 semitones, as transpose= asks",)
