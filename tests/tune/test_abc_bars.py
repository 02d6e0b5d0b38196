"""Bars, repeats, endings, parts and voices of ABC (the standard 2.1, §4.8–4.10, §7)."""

import pytest

from tests.tune.abc_tune import numbers, order, pitches, read
from tune.readers.abc.tokens import BarLine, read_bar_line


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("|", BarLine(1, False, False)),
        (".|", BarLine(1, False, False)),
        ("[|]", BarLine(1, False, False)),  # an invisible bar line
        ("||", BarLine(1, False, True)),
        ("|]", BarLine(1, False, True)),
        ("[|", BarLine(1, False, True)),
        ("|[|", BarLine(1, False, True)),
        ("|:", BarLine(1, True, False)),
        ("[|:::", BarLine(1, True, True)),
        (":|", BarLine(2, False, False)),
        (":|]", BarLine(2, False, True)),
        ("::|", BarLine(3, False, False)),
        ("::", BarLine(2, True, False)),
        (":|:", BarLine(2, True, False)),
        (":||:", BarLine(2, True, True)),
        ("::::", BarLine(3, True, False)),
    ],
)
def test_bar_lines(text: str, meaning: BarLine) -> None:
    """§4.8, its table, its equivalents and its example from the wild."""
    assert read_bar_line(text) == meaning


@pytest.mark.parametrize(
    ("music", "printed", "heard"),
    [
        ("A8|B8|c8|", [1, 2, 3], [1, 2, 3]),
        ("A8|B8:|c8|", [1, 2, 3], [1, 2, 1, 2, 3]),
        ("A8|:B8:|c8|", [1, 2, 3], [1, 2, 2, 3]),
        ("A8::B8:|", [1, 2], [1, 1, 2, 2]),
        ("|:A8::|B8|", [1, 2], [1, 1, 1, 2]),
        ("|:A8|1B8:|2c8||d8|", [1, 2, 3, 4], [1, 2, 1, 3, 4]),
        ("|:A8|[1B8:|[2c8|d8|", [1, 2, 3, 4], [1, 2, 1, 3, 4]),
        ("|:A8|1B8|d8:|2c8||", [1, 2, 3, 4], [1, 2, 3, 1, 4]),
        ("|:A8|[1,3B8:|[2c8:|d8|", [1, 2, 3, 4], [1, 2, 1, 3, 1, 2, 4]),
        ("|:A8|[1-3B8:|[4c8|]", [1, 2, 3], [1, 2, 1, 2, 1, 2, 1, 3]),
        ("A8||B8:|c8|", [1, 2, 3], [1, 2, 2, 3]),  # §4.8: back to the latest double bar
        ("|:A8||B8:|c8|", [1, 2, 3], [1, 2, 1, 2, 3]),
        ("A8|\n|:B8|\n:|c8|", [1, 2, 3], [1, 2, 2, 3]),
        ("|:A8|\\\n1B8:|2c8|", [1, 2, 3], [1, 2, 1, 3]),
        ("|:A8|1B8:|2c8:||:d8:|", [1, 2, 3, 4], [1, 2, 1, 3, 4, 4]),
        ("A8|1B8:|2c8:|d8:|", [1, 2, 3, 4], [1, 2, 1, 3, 4, 4]),
        (":|A8|", [1], [1]),
    ],
)
def test_repeats(music: str, printed: list[int], heard: list[int]) -> None:
    tune = read(music)
    assert (numbers(tune), order(tune)) == (printed, heard)


@pytest.mark.parametrize(
    ("music", "printed"),
    [
        ("A2|B8|c8|", [0, 1, 2]),  # a pickup
        ("A2|", [1]),  # alone it is no pickup
        ("A2|B8|c6|", [0, 1, 2]),  # its complement at the end
        ("A2|B8|c6:|A2|d8|e6:|", [0, 1, 2, 2, 3, 4]),  # bar 2 is cut by the sign
        ("A8|B4::c4|d8|", [1, 2, 2, 3]),
        ("A8|B4||c4|d8|", [1, 2, 2, 3]),
        ("A8|B4|c4|d8|", [1, 2, 3, 4]),  # nothing cuts it: two wrong bars
        ("A2|B8|c6|1d2:|2d2|]", [0, 1, 2, 2, 3]),
        ("A8|B4[1c4:|[2d4|]", [1, 2, 2, 3]),
        ("A2||B6|c8|", [0, 1, 2]),  # the pickup never shares
    ],
)
def test_numbers(music: str, printed: list[int]) -> None:
    """Common practice, no source; how split bars are counted is said in ``abc_bars``."""
    assert numbers(read(music)) == printed


@pytest.mark.parametrize(
    ("music", "notices"),
    [
        ("A2|B8|c6|", ()),
        ("A2|B8|c6:|A2|d8|e6:|", ()),
        ("A8|B6||c8|", ()),
        ("A8|B6|c8|", ("bar 2: the bar lasts 3 quarters where 4/4 asks for 4 quarters",)),
        ("A8|B9|c8|", ("bar 2: the bar lasts 9/2 quarters where 4/4 asks for 4 quarters",)),
        ("A9|", ("bar 1: the bar lasts 9/2 quarters where 4/4 asks for 4 quarters",)),
    ],
)
def test_bars_of_the_wrong_size_are_kept_and_told(music: str, notices: tuple[str, ...]) -> None:
    assert read(music).notices == notices


def test_a_bar_may_run_over_the_end_of_its_line() -> None:
    assert numbers(read("A4\nB4|c8|")) == [1, 2]
    assert numbers(read("A4 \\\n B4|c8|")) == [1, 2]


def test_parts_begin_sections() -> None:
    tune = read("P:A\nA8|B8|\nP:B\nc8|[P:Coda]d8|\nT:Another\ne8|")
    assert [bar.section for bar in tune.bars] == ["A", "", "B", "Coda", "Another"]
    assert [bar.section for bar in read("A8|B4 [P:C]B4|c8|").bars] == ["", "", "C"]


def test_the_order_of_parts_is_told() -> None:
    assert read("P:A\nA8|\nP:B\nB8|", "P:A B").notices == ()
    notices = read("P:A\nA8|", "P:AAB").notices
    assert notices == ("the order of parts P:AAB is not followed; the bars stand as written",)


def test_of_several_voices_the_first_is_read() -> None:
    music = "V:T1\nA8|B8|\nV:B1\nC,8|D,8|\nV:T1\nc8|\n[V:B1]E,8|\n[V:T1]d8|"
    for fields in ((), ("V:T1 clef=treble", "V:B1 clef=bass")):
        tune = read(music, *fields)
        assert pitches(tune) == [69, 71, 72, 74]
        assert tune.notices == ("voice B1 is left out; the first voice is read",)


def test_music_before_any_voice_is_the_first_voice() -> None:
    assert pitches(read("A8|\nV:2\nC8|")) == [69]


def test_a_voice_has_its_own_octave() -> None:
    assert pitches(read("V:1\nA8|", "V:1 octave=-1", "V:2 octave=2")) == [57]
    assert pitches(read("[V:1 treble-8]A8|")) == [57]


def test_an_overlay_is_left_out_up_to_its_bar_line() -> None:
    tune = read("A8 & C4 E4 |B8|")
    assert pitches(tune) == [69, 71]
    assert tune.notices == ("bar 1: a second voice written with & is ignored",)


def test_a_line_that_begins_like_a_field() -> None:
    """``G:|`` is a note and a repeat sign, not the field G:."""
    assert pitches(read("A6 F2|\nG4 F2\nG:|")) == [69, 65, 67, 65, 67]


def test_endings_never_reached_are_told() -> None:
    tune = read("A8|2B8|]")
    assert tune.notices == ("the repeats as written never come to bar 2; check the endings",)


def test_a_single_colon() -> None:
    assert read("A8:B8|").notices == ("bar 1: a single : is read as a bar line",)


def test_a_repeat_before_the_first_note_is_told() -> None:
    assert read(":|A8|").notices == ("a repeat sign before the first note is ignored",)
