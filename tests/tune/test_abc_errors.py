"""Bad ABC, each with its one sentence: file, line, bar and column where they are known."""

import pytest

from tests.tune.abc_tune import abc
from tune.errors import TuneError
from tune.readers.abc import read_abc

HEAD = "X:1\nT:Try\nM:4/4\nL:1/8\n"

FILES = [
    ("", "try.abc: the file is empty; an ABC tune begins with a line X:1"),
    ("\n\n% nothing\n", "try.abc: the file is empty; an ABC tune begins with a line X:1"),
    (
        "Dear all, see you on Tuesday",
        "try.abc: this is no ABC tune; it needs at least the lines X:1, T: and K:",
    ),
    ("X:1\nT:Try\nK:D\n", "try.abc, line 3: the tune has no notes before its end"),
    ("X:1\nT:Try\nK:D\n| || |]\n", "try.abc, line 4: the tune has no notes before its end"),
    ("X:1\nT:Try\nK:D\n\nA4|\n", "try.abc, line 3: the tune has no notes before its end"),
    (
        "X:1\nT:A\nK:C\nc|\n\nX:1\nT:B\nK:C\nc|\n",
        "try.abc: the file holds 2 tunes; choose one by its number or title: 1 A, 1 B",
    ),
    (
        "X:1\nT:Try\nM:5\nK:D\nA4|",
        "try.abc, line 3: the metre M:5 cannot be read; write it like M:6/8, M:C or M:C|",
    ),
    (
        "X:1\nT:Try\nM:4/5\nK:D\nA4|",
        "try.abc, line 3: a metre counts in 1, 2, 4, 8, 16 or 32, not in 5",
    ),
    (
        "X:1\nT:Try\nM:0/4\nK:D\nA4|",
        "try.abc, line 3: a metre needs 1 to 32 beats in the bar, not 0",
    ),
    (
        "X:1\nT:Try\nL:1/7\nK:D\nA4|",
        "try.abc, line 3: the unit length L:1/7 cannot be read; write it like L:1/8",
    ),
    (
        "X:1\nT:Try\nL:1/256\nK:D\nA4|",
        "try.abc, line 3: the unit length L:1/256 is too short; L:1/128 is the shortest",
    ),
    (
        f"{HEAD}Q:fast\nK:D\nA4|",
        "try.abc, line 5: the tempo Q:fast cannot be read; write it like Q:1/4=100",
    ),
    (
        f"{HEAD}Q:\nK:D\nA4|",
        "try.abc, line 5: the tempo Q: is empty; write it like Q:1/4=100",
    ),
    (
        f"{HEAD}Q:1/0=90\nK:D\nA4|",
        "try.abc, line 5: the tempo Q:1/0=90 cannot be read; write it like Q:1/4=100",
    ),
    (
        f"{HEAD}Q:1/4=900\nK:D\nA4|",
        "try.abc, line 5: a tempo lies between 10 and 400 beats a minute, not 900",
    ),
    (
        f"{HEAD}K:H\nA4|",
        "try.abc, line 5: the key K:H cannot be read; write it like K:D, K:Em or K:Amix",
    ),
    (
        f"{HEAD}K:Dfoo\nA4|",
        "try.abc, line 5: the key K:Dfoo cannot be read; write it like K:D, K:Em or K:Amix",
    ),
    (
        f"{HEAD}K:D ???\nA4|",
        "try.abc, line 5: the key K:D ??? ends in something unknown: '???'; remove it",
    ),
    (
        f"{HEAD}K:G#\nA4|",
        "try.abc, line 5: G# major would need more than seven sharps or flats",
    ),
    (
        f"{HEAD}K:D octave=9\nA4|",
        "try.abc, line 5: octave=9 cannot be read; write a number from -4 to 4",
    ),
    (
        f"{HEAD}m:~n2=n/n/n\nK:D\nA4|",
        "try.abc, line 5: macros (m:) are not read; write the notes out",
    ),
    (
        f"{HEAD}U:T=trill\nK:D\nA4|",
        "try.abc, line 5: U:T=trill cannot be read; write it like U:T=!trill!",
    ),
    (
        f"{HEAD}K:C transpose=-24\nC,,,,8|",
        "try.abc, bar 1: a note of MIDI number -12 is outside 0 to 127",
    ),
]

MUSIC = [
    ('A8|"D"B4 C4|"X"c8|', "bar 3, column 14: the chord 'X' does not begin with a note name"),
    ('A8|"D"B4 "D"|', 'bar 2, column 11: "D" has no note or rest after it'),
    ('A8|"D""G"B8|', 'bar 2, column 7: two chords, "D" and "G", stand before one note'),
    ('A8|"D B8|', "bar 2, column 4: this quotation mark has no second one"),
    ("A8|[CEG|", "bar 2, column 4: the bracket [ is not closed on its line; a chord"),
    ("A8|[CEG", "bar 2, column 4: the bracket [ is not closed on its line"),
    ("A8|CEG]4|", "bar 2, column 7: the bracket ] closes nothing"),
    ("A8|[!p!]4|", "bar 2, column 4: these square brackets hold no note"),
    ("A8|[CzE]4|", "bar 2, column 6: 'z' cannot stand among notes struck together"),
    ("A8|{ga B8|", "bar 2, column 4: these grace notes have no closing brace }"),
    ("A8|{~}B8|", "bar 2, column 4: these grace notes hold no note"),
    ('A8|{"D"g}B8|', "bar 2, column 4: a chord or words cannot stand among grace notes"),
    ("A8|^ B8|", "bar 2, column 4: the sign ^ needs a note after it"),
    ("A8|B4=|", "bar 2, column 6: the sign = needs a note after it"),
    ("A8|B4 h4|", "bar 2, column 7: the letter h is no note and no sign; notes are A to G"),
    ("A8|Q8|", "bar 2, column 4: the letter Q is no note and no sign; notes are A to G"),
    ("A8|B4 4|", "bar 2, column 7: the number 4 stands alone; a length follows its note"),
    ("A8| 1B8|", "bar 2, column 5: the number 1 stands alone"),
    ("A8|Bä|", "bar 2, column 5: 'ä' means nothing in ABC music; remove it"),
    ("A8|+CEG+4|", "bar 2, column 4: +CEG+ is no sign; notes struck together are written [CEG]"),
    ("A8|B0|", "bar 2, column 4: the note length '0' is no length; write it like 2, 3/2 or /"),
    ("A8|B/0|", "bar 2, column 4: the note length '/0' is no length"),
    ("A8|B3//4|", "bar 2, column 4: the note length '3//4' cannot be read"),
    ("A8|B/////////|", "bar 2, column 4: the note length '/////////' is no length"),
    ("A8|B/11|", "bar 2, column 4: a length of 1/22 quarter notes is finer than"),
    ("A8|(3BB|", "bar 2, column 4: the tuplet needs 1 more notes before the bar ends"),
    ("A8|(3B(3BBB|", "bar 2, column 7: the tuplet (3 begins inside another one"),
    ("A8|(1B|", "bar 2, column 4: the tuplet (1 cannot be read; write it like (3 or (3:2:3"),
    ("A8|(3:0:3BBB|", "bar 2, column 4: the tuplet (3:0:3 cannot be read"),
    ("A8|B4>|]", "bar 2, column 6: the broken rhythm sign needs a note after it"),
    ("A8|B><B|", "bar 2, column 6: the broken rhythm sign < needs one note before and one after"),
    ("A8|B>>>>B|", "bar 2, column 5: the broken rhythm sign >>>> needs one note before"),
    (">A8|", "column 1: the broken rhythm sign > needs one note before and one after"),
    ("A8|B4 Z|", "bar 2, column 7: Z rests for whole bars, so a bar line must stand before it"),
    ("A8|Z B|", "bar 2, column 6: a bar that Z rests through can hold no notes; put a bar line"),
    ("A8|Z0|", "bar 2, column 4: Z0 rests for 0 bars; write Z1 to Z4096"),
    ("A8|Z5000|", "bar 2, column 4: Z5000 rests for 5000 bars; write Z1 to Z4096"),
    ("A8|[0B8|", "bar 2, column 4: the ending '0' cannot be read; write it like [1 or [1,3"),
    ("A8|[3-1B8|", "bar 2, column 4: the ending '3-1' cannot be read"),
    ("A8|B17|", "bar 2, column 4: the bar lasts 17/2 quarters where 4/4 asks for 4 quarters; "
                "a bar line is missing"),
    ("A8|B,,,,,,8|", "bar 2, column 4: the note B,,,,,, is too far off for any instrument"),
    ("A8|[K:X]B8|", "bar 2: the key K:X cannot be read; write it like K:D, K:Em or K:Amix"),
    ("A8|[M:x]B8|", "bar 2: the metre M:x cannot be read; write it like M:6/8, M:C or M:C|"),
    ("A8|[L:0]B8|", "bar 2: the unit length L:0 cannot be read; write it like L:1/8"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "sentence"), FILES)
def test_files(text: str, sentence: str) -> None:
    with pytest.raises(TuneError) as caught:
        read_abc(text, "try.abc")
    assert str(caught.value) == sentence


@pytest.mark.parametrize(("music", "sentence"), MUSIC)
def test_music(music: str, sentence: str) -> None:
    with pytest.raises(TuneError) as caught:
        read_abc(abc(music), "try.abc")
    assert str(caught.value).startswith(f"try.abc, line 6, {sentence}")
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("music", "sentence"),
    [
        ("|:A8|1B8:|", "try.abc, bar 2: no ending is marked for time 2 through"),
        (
            'A8|B8|\ns: "D" "Gd"',
            "try.abc, line 7, bar 2, column 10: the chord 'Gd' cannot be read",
        ),
        ('A8|\ns: "D" "G"', "try.abc, line 7, bar 2: 1 symbols in the s: line have no note left"),
        (
            '"D"A8|\ns: "G"',
            'try.abc, line 7, bar 2: the chord "G" stands over a note that has one already',
        ),
    ],
)
def test_music_of_several_lines(music: str, sentence: str) -> None:
    with pytest.raises(TuneError) as caught:
        read_abc(abc(music), "try.abc")
    assert str(caught.value).startswith(sentence)


def test_too_many_repeats() -> None:
    with pytest.raises(TuneError, match=r"^try.abc: with its repeats .* more than 8192 bars$"):
        read_abc(abc("|:A8" + ":" * 9000 + "|"), "try.abc")


def test_too_many_bars() -> None:
    with pytest.raises(TuneError, match="more than 4096 bars"):
        read_abc(abc("c8|" * 4097))


def test_too_many_notes_without_a_bar_line() -> None:
    for music in ("A" * 4097, "{abc}" * 1366 + "A"):
        with pytest.raises(TuneError, match="more than 4096 notes; a bar line is missing"):
            read_abc(abc(music))
