"""What is said of a tab is said as it was typed: its places, its numbers, its rows, its notes."""

import pytest

from fretboard.frets import fret_semitones
from fretboard.instrument import Instrument
from fretboard.presets import instruments
from solver.conditions.wording import read_fret
from solver.style import Style
from tests.undersong.arranged import chart
from tune.chord import parse_chord
from tune.key import Key
from tune.spelling import tones
from undersong import TabOrder, check_tab
from undersong.handed.checking import Checked
from undersong.handed.numbers import Numbering, read_number, written_number
from undersong.handed.row_names import way_up
from undersong.handed.spelling import note_name
from undersong.handed.words import report

LANE = chart("key: D\nmetre: 4/4\n| D | G | A7 | D |")
ROWS = ("-0---4---|-3---0---|-4---1---|-0---0---|", "---0---0-|---1---1-|---2---2-|---0---0-|",
        "---2---2-|---0---0-|---3---3-|---2---2-|")  # fmt: skip


def typed(names: str = "D A d", turned: bool = False, rows: tuple[str, ...] = ROWS) -> str:
    lines = list(reversed(rows)) if turned else list(rows)
    called = names.split() or [""] * len(lines)
    return "\n".join(f"{name} |{line}" for name, line in zip(called, lines, strict=True))


def check(text: str, **settings: object) -> Checked:
    return check_tab(text, LANE, **settings)  # type: ignore[arg-type]


# places


def test_fault_and_mend_name_the_beat_where_it_was_typed() -> None:
    """The melody string is typed at beat 3; the right hand strikes it at beat 4 next."""
    wrong = (ROWS[0], ROWS[1], "---2---2-|---0-1---|---3---3-|---2---2-|")
    found = check(typed(rows=wrong))
    assert [(f.kind, f.where) for f in found.faults] == [("pitch", "bar 2, beat 3")]
    assert [(c.where, c.course, c.old) for c in found.changes] == [("bar 2, beat 3", 2, 2)]
    page = report(found)
    assert page.count("beat 3") == 2
    assert "beat 4" not in page


def test_a_wrong_note_that_the_right_hand_does_not_strike_has_its_mend_told_too() -> None:
    """E3 at beat 4 under G: nearest in the chord D3 (fret 0) and G3 (fret 3)."""
    wrong = ("-0---4---|-3---0-1-|-4---1---|-0---0---|", *ROWS[1:])
    found = check(typed(rows=wrong))
    assert [f.where for f in found.faults] == ["bar 2, beat 4"]
    assert found.changes == ()
    assert "  bar 2, beat 4: bass 1 -> 0 or 3\n" in report(found)


def test_the_same_fault_twice_in_a_bar_is_told_once_with_both_beats() -> None:
    wrong = (*ROWS[:2], "---2---2-|---1---1-|---3---3-|---2---2-|")
    found = check(typed(rows=wrong))
    assert [f.where for f in found.faults] == ["bar 2, beat 2", "bar 2, beat 4"]
    page = report(found)
    assert page.count("the melody string at fret 1 sounds E4") == 1
    assert "beats 2 and 4: the melody string" in page
    assert {change.where for change in found.changes} == {fault.where for fault in found.faults}


def test_melody_notes_that_are_not_there_are_told_with_their_fret() -> None:
    """F#4 at beat 2 of bar 1 of Harrow Lane's solo is fret 2 of a D4 string."""
    found = check_tab("|-0-|\n|-0-|\n|-4-|", "harrow-lane", style=Style(texture="solo"))
    assert "Melody notes to put in:\n  bar 1, beat 2: melody 2\n" in report(found)


# numbers

SEVEN = Numbering(seven_is_six_plus=True)


@pytest.mark.parametrize("capo", [0, 2, 3, 4, 5, 7, 9, 10, 11])
@pytest.mark.parametrize("seven", [False, True])
@pytest.mark.parametrize("chromatic", [False, True])
def test_what_is_written_reads_back(capo: int, seven: bool, chromatic: bool) -> None:
    numbering = Numbering(seven, capo, chromatic)
    written = [written_number(fret, numbering) for fret in range(capo, 30)]
    assert len(set(written)) == len(written)
    assert [read_number(text, numbering) for text in written] == list(range(capo, 30))


@pytest.mark.parametrize("preset", [info.instrument for info in instruments()])
def test_a_tab_and_a_shape_are_counted_alike(preset: Instrument) -> None:
    for capo in range(6):
        strung = preset.with_capo(fret_semitones(str(capo)))
        numbering = Numbering(capo=strung.capo, chromatic=strung.chromatic)
        for fret in strung.frets(len(strung.courses) - 1):
            written = strung.label(fret, from_capo=True)
            assert written_number(fret, numbering) == written
            assert read_number(written, numbering) == fret
            assert read_fret(written, strung, from_capo=True) == fret


def test_where_6_plus_is_7_it_counts_as_a_whole_fret_past_the_capo() -> None:
    """Frets 4 5 6 6+ 7 8, there called 4 5 6 7 8 9, past a capo at 3."""
    frets = [fret_semitones(label) for label in ["3", "4", "5", "6", "6+", "7", "8"]]
    seven = Numbering(seven_is_six_plus=True, capo=5)
    assert [written_number(fret, seven) for fret in frets] == ["0", "1", "2", "3", "4", "5", "6"]


@pytest.mark.parametrize(
    ("fret", "label"),
    [(10, "6"), (11, "7"), (12, "8"), (13, "8+"), (14, "9"), (24, "15"), (1, "0+")],
)  # fmt: skip
def test_where_the_extra_fret_is_7(fret: int, label: str) -> None:
    """TRADE.md, *Frets and Notes*: 6+ is labelled 7, and every higher number is one more."""
    assert written_number(fret, SEVEN) == label


def test_all_that_is_said_of_frets_is_in_the_numbering_of_the_tab() -> None:
    """9 there is E5 on the melody string, 8 the octave D5: the trade's 8 and 7."""
    high = (*ROWS[:2], "---2---2-|---0---0-|---3---3-|---2---9-|")
    page = report(check(typed(rows=high), order=TabOrder(seven_is_six_plus=True)))
    assert "7 the fret between 6 and 8" in page
    assert "the melody string at fret 9 sounds E5" in page
    assert "bar 4, beat 4: melody 9 -> " in page
    shape = "| D | G | A7 | D |\n| 0-0-2 | 3-1-0 | 4-2-10 | 0-0-2 |"
    page = report(check(shape, order=TabOrder(seven_is_six_plus=True)))
    assert "4-2-10 cannot be fingered" in page
    assert "melody 10 -> " in page


# rows


@pytest.mark.parametrize(
    ("names", "tuning", "turned"),
    [
        ("D A d", "D3 A3 D4", False),
        ("d A D", "D3 A3 D4", True),
        ("d a D", "D3 A3 D4", True),
        ("D4 A3 D3", "D3 A3 D4", True),
        ("melody middle bass", "D3 A3 D4", True),
        ("bass middle melody", "D3 A3 D4", False),
        ("D A D", "D3 A3 D4", None),
        ("A A D", "D3 A3 A3", True),
        ("c G C", "C3 G3 C4", True),
        ("d d A D", "D3 A3 D4 D4", True),
        ("", "D3 A3 D4", None),
    ],
)
def test_what_the_names_of_rows_say(names: str, tuning: str, turned: bool | None) -> None:
    called = names.split() or ["", "", ""]
    assert way_up(called, tuning.split()) is turned


def test_a_small_d_is_the_melody_row_wherever_it_stands() -> None:
    for text in (typed(), typed("d A D", turned=True)):
        found = check(text)
        assert found.sound
        assert (found.findings, found.warnings) == ((), ())
    assert "melody string on top" in report(found)


def test_rows_without_names_the_other_way_up_are_noticed() -> None:
    found = check(typed("", turned=True))
    assert [words for words in found.warnings if "write --melody-on-top if that" in words]
    again = check(typed("", turned=True), order=TabOrder(melody_on_top=True))
    assert again.warnings == ()
    assert again.sound
    assert check(typed("")).warnings == ()


def test_names_that_stand_against_the_shapes_are_noticed() -> None:
    found = check(typed("d A D"))
    assert [words for words in found.warnings if "name the rows the other way round" in words]


def test_shapes_with_the_melody_string_first_are_noticed() -> None:
    found = check("D G A7 D\n2-0-0 0-1-3 3-2-4 2-0-0")
    assert [words for words in found.warnings if "write --melody-first if that" in words]


def test_rows_of_other_strings_are_noticed() -> None:
    found = check(typed(), instrument="standard")
    assert found.warnings == ()
    from fretboard.presets import instrument

    found = check(typed(), instrument=instrument("standard", tuning="D-A-A"))
    assert "the rows are named D A d, and the strings are tuned to D3 A3 A3" in found.warnings[0]


# notes


@pytest.mark.parametrize(
    ("chord", "names"),
    [
        ("Gm", "G Bb D"), ("A7", "A C# E G"), ("Eb", "Eb G Bb"), ("F#m", "F# A C#"),
        ("Bdim", "B D F"), ("Gsus4", "G C D"), ("Dadd9", "D F# A E"), ("Bb7", "Bb D F Ab"),
    ],
)  # fmt: skip
def test_a_chord_is_spelt_by_its_thirds(chord: str, names: str) -> None:
    """As in any theory primer: letters two apart, signs as the intervals need them."""
    assert list(tones(parse_chord(chord)).values()) == names.split()


def test_notes_are_named_as_their_key_or_chord_has_them() -> None:
    assert note_name(58, Key("D", "minor")) == "Bb3"
    assert note_name(66, Key("D", "minor")) == "F#4"
    assert note_name(58, Key("D")) == "A#3"
    assert note_name(58, Key("D"), parse_chord("Gm")) == "Bb3"
    assert note_name(59, Key("Gb"), parse_chord("Abm")) == "Cb4"


def test_every_chord_of_ours_has_each_tone_named_once() -> None:
    """music21 reads the names back to the same pitch classes."""
    from music21.pitch import Pitch

    from tune.chord import QUALITIES, Chord

    for quality in QUALITIES:
        for root in ("C", "D", "Eb", "F#", "A", "Bb"):
            for pc, name in tones(Chord(root, quality)).items():
                assert Pitch(name.replace("b", "-")).pitchClass == pc, (root, quality)


@pytest.mark.parametrize("name", ["D3", "D", "bass", ""])
def test_the_row_of_a_bass_part_is_the_bass_strings(name: str) -> None:
    found = check(f"{name} |{ROWS[0]}", style=Style(texture="bass"))
    assert found.warnings == ()
    assert found.faults == ()


def test_the_row_of_a_bass_part_for_another_string_is_told() -> None:
    found = check(f"A2 |{ROWS[0]}", style=Style(texture="bass"))
    assert found.warnings == (
        "the row is named A2, and the bass string is tuned to D3; write --tuning if the tab is "
        "for another",
    )


STRAY = """
    1 . 2 . 3 . 4 .   1 . 2 . 3 . 4 .   1 . 2 . 3 . 4 .   1 . 2 . 3 . 4 .
D  |-0-------4-------|-3-------0-------|-4-------1-------|-0-------0-------|
A  |-----0-------0-0-|-----1-------1---|-----2-2-----2-2-|-----0-------0---|
d  |-----2-------2-2-|-----0-0---------|-----3-3-----3-3-|---------2---2---|
"""


def test_columns_without_a_stroke_are_counted_as_typed_with_their_bars() -> None:
    """bass-then-strum: the bass on 1 and 3, the strings above it on 2 and 4. The melody string of
    bar 2 is struck on beat 4 next, where nothing else is typed for it."""
    found = check(STRAY)
    assert (found.left_out, found.later) == ((0, 2, 2, 3), (1,))
    page = " ".join(report(found).split())
    assert (
        "note for 4 columns in bar 1 and bars 3 and 4 the right hand 'bass-then-strum' has no "
        "stroke; they are looked at, and left out of the cost note for 1 column in bar 2 the right "
        "hand 'bass-then-strum' has no stroke; it is taken for its next one in the bar" in page
    )


def test_columns_of_a_bar_that_is_played_again_are_counted_once() -> None:
    twice = chart("key: D\nmetre: 4/4\n|: D | G | A7 | D :|")
    assert check_tab(STRAY, twice).left_out == (0, 2, 2, 3)
    assert check(typed()).left_out == check(typed()).later == ()
