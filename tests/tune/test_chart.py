"""The plain chart, worked by hand."""

from pathlib import Path

import pytest

from tune.readers.chart import read_chart
from tune.time import QUARTER, Metre, Tempo
from tune.tune import Tune

HEAD = "title: Harrow Lane\nkey: D\nmetre: {}\ntempo: 100\n"


def chart(body: str, metre: str = "4/4") -> Tune:
    return read_chart(HEAD.format(metre) + body, "harrow.chart")


def chords(body: str, metre: str = "4/4") -> list[list[tuple[float, str]]]:
    """Each bar's changes as (quarters from the bar line, symbol)."""
    return [
        [(change.tick / QUARTER, str(change.chord or "N.C.")) for change in bar.chords]
        for bar in chart(body, metre).bars
    ]


def played(body: str, metre: str = "4/4") -> str:
    """The chords as they sound, one for each bar."""
    tune = chart(body, metre)
    return " ".join(str(tune.bars[one.written].chords[0].chord) for one in tune.played)


# --- the head ---


def test_the_head_is_kept() -> None:
    tune = read_chart(
        "title: Harrow Lane Waltz\ncomposer: the Tuesday class\nsource: notebook, page 4\n"
        "licence: CC0\nkey: D mixolydian\nmetre: 3/4\ntempo: 1/4 = 96\n| D |\n"
    )
    assert (tune.title, tune.composer) == ("Harrow Lane Waltz", "the Tuesday class")
    assert (tune.source, tune.licence) == ("notebook, page 4", "CC0")
    assert (str(tune.key), str(tune.metre)) == ("D mixolydian", "3/4")
    assert tune.tempo == Tempo(QUARTER, 96)
    assert tune.notices == ()


@pytest.mark.parametrize(
    ("said", "key"),
    [
        ("D", "D major"),
        ("d", "D major"),
        ("Em", "E minor"),
        ("E minor", "E minor"),
        ("F# min", "F# minor"),
        ("B♭ major", "Bb major"),
        ("A dor", "A dorian"),
        ("A Mixolydian", "A mixolydian"),
        ("C ionian", "C major"),
        ("E aeolian", "E minor"),
    ],
)
def test_keys_as_players_write_them(said: str, key: str) -> None:
    tune = read_chart(f"title: t\nkey: {said}\nmetre: 4/4\ntempo: 100\n| D |")
    assert str(tune.key) == key


@pytest.mark.parametrize(
    ("metre", "said", "tempo"),
    [
        ("4/4", "110", Tempo(QUARTER, 110)),
        ("6/8", "72", Tempo(QUARTER * 3 // 2, 72)),  # felt beats: two in a bar
        ("2/2", "60", Tempo(2 * QUARTER, 60)),
        ("6/8", "3/8=72", Tempo(QUARTER * 3 // 2, 72)),
        ("6/8", "1/8 = 200", Tempo(QUARTER // 2, 200)),
    ],
)
def test_a_tempo_counts_felt_beats_unless_it_says_otherwise(
    metre: str, said: str, tempo: Tempo
) -> None:
    text = f"title: t\ntempo: {said}\nkey: D\nmetre: {metre}\n| D |"
    assert read_chart(text).tempo == tempo


def test_without_a_tempo_a_usual_one_is_taken_and_told() -> None:
    tune = read_chart("title: t\nkey: D\nmetre: 4/4\n| D |")
    assert tune.tempo == Tempo(QUARTER, 100)
    assert tune.notices == ("no tempo is given; taken as 100 beats a minute",)


@pytest.mark.parametrize(
    "text",
    [
        "\ufeffTITLE:Harrow Lane\nKey :D\nmeter:  4 / 4\nTempo: 100\n|D|G|",
        "\n\n  title:   Harrow Lane  \r\nkey: D\r\nmetre: 4/4\r\ntempo:100\r\n\r\n  D|G  \r\n",
        "# remark\ntitle: Harrow Lane\nkey: D\nmetre: 4/4\ntempo: 100\n# another\n||D||G||\n",
        HEAD.format("4/4") + "| D |\n| G\n",
    ],
)
def test_spacing_case_and_bar_lines_are_forgiven(text: str) -> None:
    assert read_chart(text) == chart("| D | G |")


# --- bars ---


@pytest.mark.parametrize(
    ("metre", "bar", "changes"),
    [
        ("4/4", "D", [(0, "D")]),
        ("4/4", "D G", [(0, "D"), (2, "G")]),
        ("4/4", "D . G .", [(0, "D"), (2, "G")]),
        ("4/4", "D . . G", [(0, "D"), (3, "G")]),
        ("4/4", "D..G", [(0, "D"), (3, "G")]),
        ("4/4", ". . D/F# .", [(2, "D/F#")]),
        ("4/4", "D . . . . . . G", [(0, "D"), (3.5, "G")]),
        ("4/4", "N.C. D", [(0, "N.C."), (2, "D")]),
        ("4/4", "nc", [(0, "N.C.")]),
        ("3/4", "D . G", [(0, "D"), (2, "G")]),
        ("3/4", "D . . . G .", [(0, "D"), (2, "G")]),
        ("6/8", "D G", [(0, "D"), (1.5, "G")]),
        ("6/8", "D . . . . G", [(0, "D"), (2.5, "G")]),
        ("9/8", "D . G", [(0, "D"), (3, "G")]),
        ("12/8", "D G", [(0, "D"), (3, "G")]),
        ("2/2", "D G", [(0, "D"), (2, "G")]),
        ("5/4", "D . . G .", [(0, "D"), (3, "G")]),
        ("7/8", "D . . . G . .", [(0, "D"), (2, "G")]),
        ("4/4", "(1/2) D G", [(0, "D"), (1, "G")]),
        ("4/4", "(1/8) D", [(0, "D")]),
        ("4/4", "(6/4) D . . G . .", [(0, "D"), (3, "G")]),
    ],
)
def test_symbols_share_the_bar(metre: str, bar: str, changes: list[tuple[float, str]]) -> None:
    assert chords(f"| D | {bar} |", metre)[1] == changes


def test_a_bar_of_dots_goes_on_with_the_chord_before() -> None:
    assert chords("| D | . | . . . . |") == [[(0, "D")], [], []]


def test_same_is_the_bar_before_once_more() -> None:
    assert chords("| D . . G | same |\n| Same |") == [[(0, "D"), (3, "G")]] * 3


def test_chord_spellings_are_those_of_the_lead_sheet() -> None:
    # ♭ and ø: see tests/tune/test_chord.py
    assert chords("| B♭ C#ø | Gmaj7/B |") == [[(0, "Bb"), (2, "C#m7b5")], [(0, "Gmaj7/B")]]


def test_bars_are_numbered_from_1() -> None:
    assert [bar.number for bar in chart("| D | G |\n| A |").bars] == [1, 2, 3]


@pytest.mark.parametrize(("said", "changes"), [("1/4", []), ("1/4 A7", [(0, "A7")])])
def test_a_pickup_is_bar_0_and_no_part_of_the_section(
    said: str, changes: list[tuple[float, str]]
) -> None:
    tune = chart(f"pickup: {said}\nsection A, twice\n| D | G |")
    assert [(bar.number, bar.length // QUARTER) for bar in tune.bars] == [(0, 1), (1, 4), (2, 4)]
    assert [(c.tick / QUARTER, str(c.chord)) for c in tune.bars[0].chords] == changes
    assert [one.written for one in tune.played] == [0, 1, 2, 1, 2]
    assert [bar.section for bar in tune.bars] == ["", "A", ""]


def test_a_pickup_may_be_typed_as_a_short_bar_inside_the_section() -> None:
    tune = chart("section A, twice\n| (1/4) A7 | D | (3/4) G |")
    assert [bar.number for bar in tune.bars] == [0, 1, 2]
    assert [one.written for one in tune.played] == [0, 1, 2, 0, 1, 2]


def test_key_metre_and_tempo_may_change_between_bars() -> None:
    tune = chart("| D |\nkey: G\nmetre: 6/8\ntempo: 72\n| G | D G |\ntempo: 1/8 = 180\n| A |")
    assert [str(bar.key) for bar in tune.bars] == ["D major"] + ["G major"] * 3
    assert [bar.metre for bar in tune.bars] == [Metre(4, 4)] + [Metre(6, 8)] * 3
    assert [bar.tempo for bar in tune.bars] == [
        None,
        Tempo(QUARTER * 3 // 2, 72),
        None,
        Tempo(QUARTER // 2, 180),
    ]


# --- sections and repeats ---


@pytest.mark.parametrize(
    ("body", "heard"),
    [
        ("| D | G |", "D G"),
        ("section A\n| D | G |", "D G"),
        ("section A, twice\n| D | G |\nsection B\n| A |", "D G D G A"),
        ("section A\n| D |\nsection B, twice\n| G | A |", "D G A G A"),
        ("section A, 3 times\n| D | G |", "D G D G D G"),
        ("section A, three times\n| D |", "D D D"),
        ("section A thrice\n| D |", "D D D"),
        ("section: A, played twice\n| D |", "D D"),
        ("section A, twice with endings\n| D |\n1. | G |\n2. | A |", "D G D A"),
        ("section A\n| D |\n1. | G |\n2. | A |", "D G D A"),
        ("| D |\n1. | G |\n2. | A |\nsection B\n| Em |", "D G D A Em"),
        ("section A, 3 times\n| D |\n1, 2. | G |\n3. | A |", "D G D G D A"),
        ("section A, 3 times\n| D |\n1 and 2. | G |\n3. | A |", "D G D G D A"),
        ("section A, twice\n| D |\n1. | G |\n1. | Em |\n2. | A |", "D G Em D A"),
        ("|: D | G :| A |", "D G D G A"),
        ("| D |: G :|: A :|", "D G G A A"),
        ("| D |:\n| G | A :| Em |", "D G A G A Em"),
        ("|: D | G :| 3 times\n| A |", "D G D G D G A"),
        ("||: D :|| twice", "D D"),
        ("| D | :|", "D D"),
        ("|: D |\n1. | G :|\n2. | A |", "D G D A"),
        ("|: D |\n1. | G :|\n2. | A :|\n| Em |", "D G D A Em"),
    ],
)
def test_sections_repeats_and_endings_as_they_sound(body: str, heard: str) -> None:
    assert played(body) == heard


def test_sections_are_named_where_they_begin() -> None:
    tune = chart("| D |\nsection Verse 1\n| G | A |\nsection Chorus, twice\n| D |")
    assert [bar.section for bar in tune.bars] == ["", "Verse 1", "", "Chorus"]


def test_the_page_about_the_chart_shows_a_chart_that_can_be_read() -> None:
    page = Path(__file__).parents[2] / "undersong" / "chart.md"
    text = page.read_text(encoding="utf-8").split("```")[1]
    tune = read_chart(text.lstrip("\n"))
    assert tune.title == "Harrow Lane Waltz"
    assert len(tune.bars) == 17
    assert len(tune.played) == 1 + 16 + 12
    assert str(tune.bars[0].chords) == "()"
    assert str(tune.key) == "D mixolydian"
