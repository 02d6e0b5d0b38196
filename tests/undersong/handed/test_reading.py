"""Tab as people type it: every form, every spacing, the same frets."""

from fractions import Fraction

import pytest

from fretboard.presets import instrument
from undersong.handed.reading import TabOrder, read_tab
from undersong.handed.tab import LINES, PAGE, SHAPES, Tab, TabError

STANDARD = instrument()
PLAIN = TabOrder()


def read(text: str, order: TabOrder = PLAIN, strings: str = "standard") -> Tab:
    return read_tab(text, instrument(strings), order, "nan.txt")


def frets(tab: Tab) -> list[list[tuple[int | None, ...]]]:
    """A tuple a struck column, bass first, bar by bar."""
    return [
        [tuple(None if s is None else s.fret for s in column.strings) for column in bar.struck]
        for bar in tab.bars
    ]


TWO_BARS = [[(0, 0, 4), (7, None, None)], [(5, 2, 0)]]
"""0-0-2, then the bass at 4; 3-1-0."""

SPELLINGS = {
    "plain": "|-0---4---|-3-------|\n|-0-------|-1-------|\n|-2-------|-0-------|",
    "names": "D|-0---4---|-3-------|\nA|-0-------|-1-------|\nd|-2-------|-0-------|",
    "octaves": "D3 |-0---4---|-3-------|\nA3 |-0-------|-1-------|\nD4 |-2-------|-0-------|",
    "words": "bass   |-0--4-|-3-|\nmiddle |-0----|-1-|\nmelody |-2----|-0-|",
    "no first bar line": "-0---4---|-3-------\n-0-------|-1-------\n-2-------|-0-------",
    "blanks": "| 0   4 | 3 |\n| 0     | 1 |\n| 2     | 0 |",
    "double lines": "||-0-4-||-3-||\n||-0---||-1-||\n||-2---||-0-||",
    "drawn": "│─0───4───│─3───────│\n│─0───────│─1───────│\n│─2───────│─0───────│",
    "long dashes": "|—0———4—|—3—|\n|–0–––––|−1−|\n|‐2‐‐‐‐‐|‑0‑|",
    "quoted": "> |-0-4-|-3-|\n> |-0---|-1-|\n> |-2---|-0-|",
    "quoted twice": ">> |-0-4-|-3-|\n>> |-0---|-1-|\n>> |-2---|-0-|",
    "double spaced": "|-0-4-|-3-|\n\n|-0---|-1-|\n\n|-2---|-0-|\n",
    "two systems": "|-0-4-|\n|-0---|\n|-2---|\n\n|-3-|\n|-1-|\n|-0-|",
    "systems close": "|-0-4-|\n|-0---|\n|-2---|\n|-3-|\n|-1-|\n|-0-|",
    "words around": (
        "Harrow Lane\nfor the spring concert, 1-2-3 go\n\n  D        G\n|-0---4---|-3-------|\n"
        "|-0-------|-1-------|\n|-2-------|-0-------|\n  down the  lane\n\nslowly!"
    ),
    "bar numbers": "   1     2\n|-0-4-|-3-|\n|-0---|-1-|\n|-2---|-0-|",
    "not square": "|-0---4---|-3-------|\n |-0-------|-1-------|\n|-2-------|-0-------|",
    "windows": "|-0-4-|-3-|\r\n|-0---|-1-|\r\n|-2---|-0-|\r\n",
    "tabulators": "\t|-0-4-|-3-|\n\t|-0---|-1-|\n\t|-2---|-0-|",
}


@pytest.mark.parametrize("name", SPELLINGS)
def test_the_same_tab_however_it_is_spelt(name: str) -> None:
    tab = read(SPELLINGS[name])
    assert tab.form == LINES
    assert frets(tab) == TWO_BARS


@pytest.mark.parametrize("typed", ["6+", "6½", "6.5"])
def test_every_spelling_of_the_extra_fret(typed: str) -> None:
    tab = read(f"|-{typed}---7-|\n|-----------|\n|-----------|")
    assert frets(tab) == [[(11, None, None), (12, None, None)]]


def test_numbers_of_two_digits_meet_those_of_one() -> None:
    assert frets(read("|-10--9-|\n|--7-10-|\n|--2----|")) == [[(17, 12, 4), (16, 17, None)]]


@pytest.mark.parametrize(
    ("typed", "fret"), [("6", 10), ("7", 11), ("8", 12), ("8+", 13), ("9", 14), ("15", 24)]
)
def test_the_numbering_in_which_the_extra_fret_is_7(typed: str, fret: int) -> None:
    """TRADE.md, *Frets and Notes*: 6+ is labelled 7, and every higher number is one more; 8+
    there would be the trade's 7+, one semitone above the octave."""
    tab = read(f"|-{typed}-|\n|----|\n|----|", TabOrder(seven_is_six_plus=True), "chromatic")
    assert frets(tab) == [[(fret, None, None)]]


def test_the_melody_string_on_top() -> None:
    turned = "|-2-------|-0-------|\n|-0-------|-1-------|\n|-0---4---|-3-------|"
    assert frets(read(turned, TabOrder(melody_on_top=True))) == TWO_BARS
    named = turned.split("\n")
    text = "\n".join(f"{name} {line}" for name, line in zip(("D4", "A3", "D3"), named, strict=True))
    assert frets(read(text)) == TWO_BARS


def test_a_silent_string() -> None:
    assert frets(read("|-0-|\n|-x-|\n|-X-|")) == [[(0, -1, -1)]]


def test_four_strings() -> None:
    tab = read("|-0-|\n|-0-|\n|-2-|\n|-2-|", strings="four-equidistant")
    assert frets(tab) == [[(0, 0, 4, 4)]]


def test_where_numbers_stand_across_the_bar() -> None:
    """Dashes before the first number of all are drawing, not time."""
    tab = read("|-0---2---|---1-----|\n|---------|---------|\n|---------|---------|")
    shares = [[column.share for column in bar.columns] for bar in tab.bars]
    assert shares == [[Fraction(0), Fraction(1, 2)], [Fraction(1, 4)]]


def test_repeats_and_endings() -> None:
    text = (
        "   1          2 (1st time)  3 (2nd time)\n"
        "  1 2 3 4    1 2 3 4      1 2 3 4\n"
        "|:-0-------|-3-----------:|-4----------|\n"
        "|:---------|-------------:|------------|\n"
        "|:---------|-------------:|------------|"
    )
    first, second, third = read(text).bars
    assert (first.repeat_start, second.repeat_times, third.repeat_times) == (True, 2, 1)
    assert (first.endings, second.endings, third.endings) == ((), (1,), (2,))


def test_a_row_of_beats() -> None:
    tab = read("  1 + 2 e + a\n|-0---4-----3-|\n|-----------|\n|-----------|".replace(
        "|-----------|", "|-------------|"))  # fmt: skip
    assert tab.form == PAGE
    beats = [(c.beat.number, c.beat.whole) for c in tab.bars[0].columns if c.beat is not None]
    half, quarter = Fraction(1, 2), Fraction(1, 4)
    assert beats == [
        (1, None), (1, half), (2, None), (2, quarter), (2, half), (2, 3 * quarter),
    ]  # fmt: skip


SHAPE_SPELLINGS = {
    "over": "D     G\n0-0-2 3-1-0",
    "under": "0-0-2 3-1-0\nD     G",
    "a line between": "D     G\n\n0-0-2   3-1-0\n",
    "bars": "| D | G |\n| 0-0-2 | 3-1-0 |",
    "long dashes": "D G\n0–0–2 3—1—0",
    "words around": "For Tuesday\nD     G\n0-0-2 3-1-0\nhum the rest",
    "no chords": "0-0-2, 3-1-0",
}


@pytest.mark.parametrize("name", SHAPE_SPELLINGS)
def test_shapes_over_or_under_chords(name: str) -> None:
    tab = read(SHAPE_SPELLINGS[name])
    assert tab.form == SHAPES
    assert [shape for bar in frets(tab) for shape in bar] == [(0, 0, 4), (5, 2, 0)]
    chords = [column.chord for bar in tab.bars for column in bar.columns]
    assert chords == (["", ""] if name == "no chords" else ["D", "G"])


def test_shapes_with_the_melody_first() -> None:
    tab = read("D     G\n2-0-0 0-1-3", TabOrder(melody_first=True))
    assert frets(tab) == [[(0, 0, 4), (5, 2, 0)]]


UNREADABLE = [
    ("", "nan.txt, line 1: no tab stands here; write 3 lines of numbers with bar lines, or shapes"),
    ("la la la\n", "nan.txt, line 1: no tab stands here"),
    ("|-0-|\n|-0-|\n", "nan.txt, line 1: 2 lines of numbers stand together here, and the instrum"),
    ("|-0-|\n|-0-|\n|-2-|\n\n|-1-|\n", "nan.txt, line 5: 1 line of numbers stands alone here, and"),
    ("|-0-|-1-|\n|-0-|-1-|\n|-2---1-|\n", "nan.txt, line 3: this line has 1 bar and the first of"),
    ("|-0-|\n|-123-|\n|-2-|\n", "nan.txt, line 2, column 3: '123' is no fret number"),
    ("|-0-|\n|-2+-|\n|-2-|\n", "nan.txt, line 2, column 3: there is no fret 2+"),
    ("|-0-|\n|-40-|\n|-2-|\n", "nan.txt, line 2, column 3: fret 40 lies beyond the third octave"),
    (
        "D G\n0-0-2 3-1\n",
        "nan.txt, line 2, column 7: 3-1 names 2 strings, and the instrument has 3",
    ),
    ("D G\n0-0-2 3-1-99\n", "nan.txt, line 2, column 11: fret 99 lies beyond the third octave"),
    ("|-6.7-|\n|-0---|\n|-2---|\n", "nan.txt, line 1, column 3: 6.7 is no fret; write a whole "),
    ("|-0----|\n|-6.57-|\n|-2----|\n", "nan.txt, line 2, column 3: 6.57 is no fret"),
    ("D G\n0-0-2 3-1-6.7\n", "nan.txt, line 2, column 11: 6.7 is no fret; write a whole number"),
    ("D\n0-0-2\nG\n3-1-6.7\n", "nan.txt, line 4, column 5: 6.7 is no fret"),
    ("|---|\n|---|\n|---|\n", "nan.txt, line 1: no tab stands here"),
]


@pytest.mark.parametrize(("text", "says"), UNREADABLE)
def test_a_tab_that_cannot_be_read(text: str, says: str) -> None:
    with pytest.raises(TabError) as caught:
        read(text)
    assert str(caught.value).startswith(says)
    assert "\n" not in str(caught.value)


NINES = "9" * 5000


@pytest.mark.parametrize(
    "text",
    [
        f"  1 . {NINES} .\n|-0---|\n|-0---|\n|-2---|\n",
        f"  1 . 2 . 1\n  1 ({NINES} times in all)\n|:-0--:|\n|:-0--:|\n|:-2--:|\n",
        f"|-0-|\n|-0-|\n|-{NINES}-|\n",
        f"D G\n0-0-2 3-1-{NINES}\n",
    ],
)
def test_a_number_of_5000_digits_is_refused(text: str) -> None:
    """Python turns no more than 4300 digits into a number."""
    with pytest.raises(TabError, match=r"column .*: a number of 5000 digits is no fret"):
        read(text)


def test_an_ending_of_many_signs_is_read() -> None:
    ending = f"({'1a' * 5000} time)"
    tab = read(f"  {ending}\n  1 . 2 .\n|-0---|\n|-0---|\n|-2---|\n")
    assert tab.bars[0].endings == (1,)


@pytest.mark.parametrize("dots", ["0.2.4", "...0...2...", "-0...2-"])
def test_dots_that_are_drawn_are_no_part_of_a_number(dots: str) -> None:
    tab = read("\n".join(f"|{dots}|" for _ in range(3)))
    assert [shape[0] for bar in frets(tab) for shape in bar][:2] == [0, 4]


def test_the_extra_fret_may_be_6_5() -> None:
    tab = read("|-6.5-|\n|-0---|\n|-2---|\n")
    assert frets(tab) == [[(11, 0, 4)]]


def test_a_line_by_itself_is_told_how_a_bass_part_is_read() -> None:
    with pytest.raises(TabError, match=r"alone here.* for a bass part write --texture bass") as one:
        read("D3 |-0---4---|\n")
    assert "--instrument" not in str(one.value)
    with pytest.raises(TabError, match=r"2 lines of numbers stand together here.*--instrument"):
        read("D3 |-0---4---|\nA3 |-0---4---|\n")


def test_bars_that_are_named_above_a_bass_part_are_no_shape() -> None:
    """A page of ours may break a line so: the root stands in for the fifth in bars 5-9."""
    tab = read_tab(
        "in bars\n        5-9\n\nD3 |-0---4---|-3---|\n", STANDARD, PLAIN, "", alone=True
    )
    assert tab.form == LINES
    assert [[shape[0] for shape in bar] for bar in frets(tab)] == [[0, 7], [5]]


def test_seven_plus_is_none_where_seven_is_six_plus() -> None:
    with pytest.raises(TabError, match=r"there is no fret 7\+ where 6\+ is called 7"):
        read("|-7+-|\n|----|\n|----|", TabOrder(seven_is_six_plus=True))
