"""Hand-made tabs with one thing wrong each: what is said, where, and how it is mended.

The tune is four bars; the fretboard is D3-A3-D4 with 6+. What is wrong was made wrong by hand:
pitches by the trade's fret numbers (TRADE.md, Frets), reaches by L(1 - 2^(-s/12)).
"""

from math import hypot

import pytest

from fretboard.hand import Hand
from solver.style import Style
from tests.undersong.arranged import chart
from tune.readers.abc import read_abc
from undersong import Session, TabOrder, check_tab
from undersong.handed.checking import Checked
from undersong.handed.hands import beyond_reach

TUNE = chart("key: D\nmetre: 4/4\n| D | G | A7 | D |")

GOOD = """
D  |-0---4---|-3---0---|-4---1---|-0---0---|
A  |---0---0-|---1---1-|---2---2-|---0---0-|
d  |---2---2-|---0---0-|---3---3-|---2---2-|
"""


def check(text: str, **settings: object) -> Checked:
    return check_tab(text, TUNE, **settings)  # type: ignore[arg-type]


def changed(old: str, new: str) -> str:
    """The good tab with something else in it, once."""
    assert GOOD.count(old) == 1, old
    return GOOD.replace(old, new)


def test_a_good_tab_is_sound() -> None:
    found = check(GOOD)
    assert found.findings == ()
    assert found.changes == ()
    assert found.sound
    assert found.nearest is not None
    assert found.best is not None
    assert found.nearest.cost >= found.best.cost == Session(TUNE).arrange().cost


WRONG = [
    (
        "d  |---2---2-|---0---0-|", "d  |---2---2-|---1---0-|",
        (
            "pitch", "bar 2, beat 2",
            "the melody string at fret 1 sounds E4, which the chord G does not have",
        ),
    ),
    (
        "|---3---3-|", "|---3---2-|",
        (
            "pitch", "bar 3, beat 4",
            "the melody string at fret 2 sounds F#4, which the chord A7 does not",
        ),
    ),
    (
        "D  |-0---4---|", "D  |-0---1---|",
        (
            "pitch", "bar 1, beat 3",
            "the bass string at fret 1 sounds E3, which the chord D does not have",
        ),
    ),
    (
        "|---1---1-|", "|---1---1+|",
        ("fret", "bar 2, beat 4", "the middle string has no fret 1+; a fretboard with fret 1+"),
    ),
    (
        "|---1---1-|", "|---8+--1-|",
        ("fret", "bar 2, beat 2", "so has fret 8 of a string tuned to Bb3"),
    ),
    (
        "D  |-0---4---|", "D  |-0---9---|",
        ("bass high", "bar 1, beat 3", "the bass is at fret 9, and fret 7 is its ceiling"),
    ),
]  # fmt: skip
PAGE_GOOD = """
    1 . 2 . 3 . 4 .   1 . 2 . 3 . 4 .   1 . 2 . 3 . 4 .   1 . 2 . 3 . 4 .
D3 |-0-------4-------|-3-------0-------|-4-------1-------|-0-------0-------|
A3 |-----0-------0---|-----1-------1---|-----2-------2---|-----0-------0---|
D4 |-----2-------2---|-----0-------0---|-----3-------3---|-----2-------2---|
D3           T         T                 T       P
A3                         I       I         M       M
D4       I       I                           I       I         I       I
"""


@pytest.mark.parametrize(("old", "new", "says"), WRONG)
def test_one_thing_wrong(old: str, new: str, says: tuple[str, str, str]) -> None:
    found = check(changed(old, new))
    kind, where, words = says
    assert not found.sound
    told = [f for f in found.faults if f.kind == kind and f.where == where and words in f.words]
    assert told, [str(finding) for finding in found.findings]
    assert found.nearest is not None


def test_the_smallest_mend_is_one_string() -> None:
    found = check(changed("|---3---3-|", "|---3---2-|"))
    assert [(c.where, c.course, c.old, c.new) for c in found.changes] == [
        ("bar 3, beat 4", 2, 4, 5)
    ]


def test_a_page_is_judged_with_its_fingers() -> None:
    assert check(PAGE_GOOD).sound
    crossed = PAGE_GOOD.replace("M       M", "T       T", 1)
    assert crossed != PAGE_GOOD
    found = check(crossed)
    assert ("order", "bar 3, beat 2") in {(f.kind, f.where) for f in found.faults}
    assert any("T and I would have to cross" in f.words for f in found.faults)
    assert found.changes == ()


def test_a_bass_that_rings_above_another_string() -> None:
    """Where dots draw silence dashes draw sound: the bass rings on, D4 above the middle's A3."""
    drawn = PAGE_GOOD.replace("A3 |-----0", "A3 |.....0").replace("D4 |-----2", "D4 |.....2")
    found = check(drawn.replace("D3 |-0-------4---", "D3 |-0-------7---"))
    told = [f for f in found.faults if f.kind == "bass above"]
    assert [f.where for f in told] == ["bar 1, beat 4"]
    assert "the bass string sounds D4, above the middle string (A3)" in told[0].words
    assert found.changes


def test_what_no_hand_stops_is_told_with_its_reach() -> None:
    """0-1-9: index to thumb from fret 1 to fret 9 at 686 mm, 16 mm across."""
    found = check(
        changed("d  |---2---2-|---0", "d  |---2---2-|---9").replace("|---1---1-", "|---1---1-")
    )
    small = Hand()
    told = [f.words for f in found.faults if f.kind == "hand"]
    assert len(told) == 1
    assert told[0].startswith("x-1-9 cannot be fingered: ")
    along = 686 * (2 ** (-2 / 12) - 2 ** (-16 / 12))
    apart = 10 * hypot(along, 16)
    percent, pair = beyond_reach((-1, 2, 16), found.subject.instrument, small) or (0, "")
    assert pair == "T and P"
    assert percent == pytest.approx(100 * apart / small.greatest[0, 4], abs=1.5)
    assert f"would have to reach {percent} %" in told[0]


def test_a_walking_bass_is_a_wish_under_another_manner() -> None:
    """2 between 1 and 3 passes by step: a remark, no fault, and nothing to mend but the manner."""
    tune = chart("key: D\nmetre: 4/4\n| Em | G |")
    text = "|-1-2-1-2-|-3---3---|\n|---------|---1---1-|\n|---------|---0---0-|"
    found = check_tab(text, tune)
    assert found.faults == ()
    assert {f.kind for f in found.remarks} >= {"bass role"}
    assert any("passes by step" in finding.words for finding in found.remarks)


def test_an_answer_that_is_not_the_manners_is_a_remark() -> None:
    """The third in the bass at the half bar: a tone of the chord, not what alternating takes."""
    found = check(changed("D  |-0---4---|", "D  |-0---2---|"))
    assert found.faults == ()
    assert [(f.kind, f.where) for f in found.remarks] == [("bass role", "bar 1, beat 3")]
    assert "the bass has the third of D here, where the manner alternating asks for" in (
        found.remarks[0].words
    )
    assert found.sound
    assert found.manner == "free"
    assert found.asides == 1


def test_bars_that_do_not_add_up() -> None:
    lines = [line.rpartition("|")[0].rpartition("|")[0] + "|" for line in GOOD.split("\n") if line]
    found = check("\n".join(lines))
    assert not found.faults
    assert [(f.kind, f.words) for f in found.remarks] == [
        (
            "missing",
            "the tab has 3 bars, and the tune 4 bars; they are taken for bars 1 to 3, and bar 4 is "
            "missing",
        )
    ]
    assert found.sound
    assert found.rating is not None
    assert [bar.bar for bar in found.rating.bars] == [1, 2, 3]


def test_a_bar_with_more_columns_than_it_holds() -> None:
    many = "-".join("0" * 20)
    text = f"|-{many}-|-3-|-4-|-0-|\n|{'-' * 41}|---|---|---|\n|{'-' * 41}|---|---|---|"
    found = check(text)
    told = [finding for finding in found.faults if finding.kind == "timing"]
    assert len(told) == 1
    assert told[0].where == "bar 1"
    assert "20 columns are struck in this bar, and a bar of 4/4 holds 16 at most" in told[0].words


def test_beats_beyond_the_bar() -> None:
    page = PAGE_GOOD.replace("    1 . 2 . 3 . 4 .   1", "    1 . 2 . 5 . 6 .   1", 1)
    found = check(page)
    assert "beat 5 is played here, and the bar of 4/4 has 4" in next(
        f.words for f in found.faults if f.kind == "timing"
    )


def test_a_missing_third_is_a_remark() -> None:
    found = check(changed("|---2---2-|---0---0-|---3", "|---0---0-|---0---0-|---3"))
    assert [(f.kind, f.where, f.fault) for f in found.findings] == [
        ("third", "bar 1, beat 1", False)
    ]
    assert found.sound


def test_the_other_numbering_is_noticed_and_read() -> None:
    """D and A with 6+ and 7, as the fret page of TRADE.md numbers them: 7 and 8."""
    tune = chart("key: D\nmetre: 4/4\n| A | D | A | D |")
    text = (
        "|-4---4---|-0---0---|-4---4---|-0---0---|\n"
        "|-4---4---|-0---0---|-4---4---|-0---0---|\n"
        "|-7---7---|-8---8---|-7---7---|-8---8---|"
    )
    other = check_tab(text, tune)
    assert any("write --six-plus-is-7 if that is meant" in words for words in other.warnings)
    assert other.faults
    meant = check_tab(text, tune, order=TabOrder(seven_is_six_plus=True))
    assert meant.faults == ()
    assert meant.warnings == ()
    plain = text.replace("7", "6+").replace("8", "7")
    needless = check_tab(plain.replace("6+", "6+"), tune, order=TabOrder(seven_is_six_plus=True))
    assert any("leave it out if that is meant" in words for words in needless.warnings)


def test_lines_the_other_way_up_are_noticed() -> None:
    """0-7-9 with the melody on top would have the bass at 9, above both others."""
    tune = chart("key: D\nmetre: 4/4\n| D | D |")
    text = "|-9---9---|-9-------|\n|-7---7---|-7-------|\n|-0---0---|-0-------|"
    turned = check_tab(text, tune)
    assert any("write --melody-on-top if that is meant" in words for words in turned.warnings)
    assert {finding.kind for finding in turned.faults} >= {"bass high", "bass above"}
    meant = check_tab(text, tune, order=TabOrder(melody_on_top=True))
    assert meant.faults == ()
    assert meant.warnings == ()


def test_names_of_strings_tell_which_way_up() -> None:
    rows = [row.replace("D ", "D3", 1).replace("A ", "A3").replace("d ", "D4") for row in
            GOOD.strip().split("\n")]  # fmt: skip
    for text in ("\n".join(rows), "\n".join(reversed(rows))):
        assert check(text).sound


def test_a_pickup_may_be_missing() -> None:
    tune = chart("key: D\nmetre: 4/4\npickup: 1/4\n| D | D | G | A7 |")
    assert tune.bars[0].length < tune.bars[1].length
    assert len(tune.bars) == 5
    text = (
        "|-0---4---|-0---4---|-3---0---|-4---1---|\n"
        "|---0---0-|---0---0-|---1---1-|---2---2-|\n"
        "|---2---2-|---2---2-|---0---0-|---3---3-|"
    )
    found = check_tab(text, tune)
    assert not [finding for finding in found.faults if finding.kind == "timing"]
    assert found.sound


def test_written_once_or_played_twice() -> None:
    tune = chart("key: D\nmetre: 4/4\n|: D | G | A7 | D :|")
    once, twice = GOOD, "\n".join(
        row + row.partition("|")[2] for row in GOOD.split("\n") if row
    )  # fmt: skip
    signed = GOOD.replace("  |-", "  |:-", 1)
    for text in (once, twice, signed):
        found = check_tab(text, tune)
        assert found.faults == (), text
        assert found.sound, text


@pytest.mark.parametrize("texture", ["solo", "drone"])
def test_textures_that_are_not_here_are_refused_in_words(texture: str) -> None:
    """The tune has no melody: the sentence says so."""
    from undersong import ArrangeError

    manner = "held" if texture == "drone" else "alternating"
    with pytest.raises(ArrangeError, match="melody"):
        check(GOOD, style=Style(texture=texture, manner=manner))


def test_a_stopped_string_that_rings_on_into_another_chord() -> None:
    """The middle string's C# of A7 rings on into G on a page that draws it so."""
    drawn = PAGE_GOOD.replace("-----0-------0---|-----1", "-----0-------2---|-----1")
    drawn = drawn.replace("A3 |-----0", "A3 |.....0").replace("D4 |-----2", "D4 |.....2")
    found = check(drawn)
    rings = {(f.where, f.course): f.words for f in found.faults if "rings on" in f.words}
    words = rings["bar 2, beat 1", 1]
    assert "the middle string at fret 2 rings on with C#4, which the chord G does not have" in words
    assert ("bar 3, beat 1", 1) in rings  # B3 into A7
    assert not [f for f in check(PAGE_GOOD).faults if "rings on" in f.words]
    assert found.mends


def test_a_walking_bass_note_that_leads_nowhere_is_a_fault() -> None:
    """Under walking E3 passes between D3 and F#3; before D3 again, by leap to A3, it does not."""
    tune = chart("key: D\nmetre: 4/4\n| D | D |")
    upper = "|-0-0-0-0-|-0-0-0-0-|\n|-2-2-2-2-|-2-2-2-2-|"
    style = Style(manner="walking")
    passes = check_tab(f"|-0-1-2-4-|-0-1-2-0-|\n{upper}", tune, style=style)
    assert [f for f in passes.faults if f.kind == "pitch"] == []
    leaps = check_tab(f"|-0-1-4-2-|-0-1-2-0-|\n{upper}", tune, style=style)
    told = [f for f in leaps.faults if f.kind == "pitch"]
    assert [f.where for f in told] == ["bar 1, beat 2"]
    assert told[0].words.endswith("; the manner walking takes it by step only")


def test_a_chord_is_not_taken_for_a_pitch() -> None:
    """The middle string at 1 sounds B3 over the open fifth on D, whose symbol looks like a note."""
    abc = 'X:1\nT:Gate\nM:4/4\nL:1/4\nQ:1/4=90\nK:D\n"D"d d d d|\n'
    drone = Style(texture="drone", manner="held")
    found = check_tab("d |-7-7-7-7-|\nA |-0-1-0-0-|\nD |-0-0-0-0-|", read_abc(abc), style=drone)
    words = [finding.words for finding in found.findings if finding.kind == "pitch"]
    assert any("sounds B3, which the open fifth D5 does not have (D, A)" in told for told in words)
