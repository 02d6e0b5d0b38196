"""The bass part's page: folded by the bass alone, said to be a bass part, its counts and ties.

The tunes are made up here; what is expected is worked by hand.
"""

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from lxml import etree

from solver.result import Arrangement
from solver.style import Style
from tests.undersong.arranged import bundled, found
from tests.undersong.sheet.drawn import boxes
from tests.undersong.tab_page import read_page
from tune.readers.abc import read_abc
from undersong.sheet.engraved import Screen, engraved_pages, screen
from undersong.sheet.engraved.score import score_of
from undersong.sheet.engraved.staff import staff_bars
from undersong.sheet.folding import fold
from undersong.sheet.musicxml import to_musicxml
from undersong.sheet.page_options import PageOptions
from undersong.sheet.text import text_tab

PART = PageOptions(bass_part=True)
HEAD = "X:1\nT:Sluice Gate\nM:6/8\nL:1/8\nQ:3/8=100\nK:D\n"
LONG = (
    '|: "D"d2 f a2 f | "G"g3 b3 | "A7"a2 e c3 | "D"d6 :|\n'
    '|: "Bm"b2 f b2 f | "G"g3 g3 | "A7"g2 c e3 | "D"d6 :|\n'
)


def made(bars: str, manner: str = "held") -> Arrangement:
    return found(read_abc(HEAD + bars), Style(manner, texture="bass"))


def refingered(arrangement: Arrangement, played: int, finger: int) -> Arrangement:
    """The bass string stopped with another finger in that played bar."""
    choices = tuple(
        replace(c, grip=replace(c.grip, fingers=(finger, *c.grip.fingers[1:])))
        if m.bar == played and c.grip.frets[0] > 0
        else c
        for m, c in zip(arrangement.moments, arrangement.choices, strict=True)
    )
    return replace(arrangement, choices=choices)


def told(arrangement: Arrangement, options: PageOptions = PART) -> str:
    pages = engraved_pages(arrangement, options)
    return " ".join(box.text for page in pages for box in boxes(page.svg))


@pytest.mark.parametrize("tune", ["harrow-lane", "candle-for-the-back-row"])
def test_a_song_whose_chords_differ_folds_where_its_bass_does_not(tune: str) -> None:
    song = bundled(tune)
    assert fold(song).written_out
    assert not fold(song, bass_part=True).written_out
    assert "written out" in told(song, PageOptions())
    assert "written out" not in told(song)


def test_a_bass_that_differs_is_written_out() -> None:
    """Another fret in the bass, the second time."""
    plain = made(LONG)
    choices = tuple(
        replace(c, grip=replace(c.grip, frets=(7, *c.grip.frets[1:]))) if m.bar == 6 else c
        for m, c in zip(plain.moments, plain.choices, strict=True)
    )
    other = replace(plain, choices=choices)
    assert [one.differs for one in fold(other, bass_part=True).written_out] == [1]
    assert "since the bass differs" in told(other)


def test_notes_that_are_let_go_sooner_another_time_do_not_unfold_a_part() -> None:
    song = bundled("kettle-on-at-nine")
    assert fold(song).written_out
    assert not fold(song, bass_part=True).written_out
    assert fold(song, bass_part=True).first_stands


def test_the_same_frets_with_other_fingers_fold_with_the_first_ones_and_say_so() -> None:
    plain = made(LONG)
    folding = fold(refingered(plain, 6, 0), bass_part=True)  # G, the second time
    assert not folding.written_out
    assert folding.first_stands
    first = next(c for m, c in zip(plain.moments, plain.choices, strict=True) if m.bar == 2)
    assert folding.bars[1].passes == (2, 6)
    assert folding.bars[1].seen[0].strings[0] == (5, first.grip.fingers[0], True)
    assert "those of its first time" in told(refingered(plain, 6, 0))


def test_the_head_and_the_foot_speak_of_the_bass_and_rate_no_whole_arrangement() -> None:
    page = told(bundled("harrow-lane"))
    assert "bass part: the bass string alone, out of a song arrangement" in page
    assert "of the whole arrangement, all its strings: Proven best" in page
    assert "chords with a moving bass" not in page
    assert "Difficulty" not in page
    assert "Difficulty" in told(made(LONG)), "a bass part of its own is rated"


def test_the_head_says_where_a_manner_has_come_to_roots_alone() -> None:
    """One bass note a bar in 3/4, and here one chord a bar."""
    waltz = HEAD.replace("6/8", "3/4").replace("3/8", "1/4")
    roots = found(
        read_abc(waltz + '"D"d6 | "G"g6 | "D"d6 |]'), Style("alternating", texture="bass")
    )
    assert {choice.role for choice in roots.choices} == {"root"}
    assert "in this tune the root alone" in told(roots)
    both = made('"D"d6 | d6 | d6 | "G"g6 |]', "alternating")
    assert {choice.role for choice in both.choices} > {"root"}
    assert "the root alone" not in told(both)


def placed(arrangement: Arrangement, width: float = 186.0) -> Screen:
    return screen(arrangement, width_mm=width, options=PageOptions())


@pytest.mark.parametrize("width", [110.0, 186.0, 250.0])
def test_a_bar_after_a_repeat_sign_has_all_of_its_counts_and_its_sound(width: float) -> None:
    drawing = placed(made(LONG), width)
    counts = [box for box in boxes(drawing.svg) if box.kind == "count"]
    for place in drawing.bars:
        inside = [
            c.text
            for c in counts
            if place.x < c.left < place.x + place.width and place.y < c.top < place.y + place.height
        ]
        assert inside in (list("123456"), ["1", "4"]), place
        if width > 180 and place.bar not in (1, 5):
            assert inside == list("123456"), place


def test_a_last_line_has_bars_as_wide_as_those_above_it() -> None:
    four = placed(made(LONG))
    assert [place.line for place in four.bars] == [0] * 4 + [1] * 4
    assert max(p.x + p.width for p in four.bars if p.line) == pytest.approx(184, abs=0.5)
    two = placed(made('"D"d6 | d6 | d6 | "A"a6 | "G"g6 | "D"d6 |]'))
    last = [place for place in two.bars if place.line == 1]
    assert len(last) == 2
    assert 80 < max(p.x + p.width for p in last) < 110


def test_a_last_line_that_would_be_broken_is_left_as_wide_as_the_others() -> None:
    """A pickup and a bar in another metre, which the engraving library sets in two lines where
    they have no more than their own width."""
    short = found(read_abc(HEAD + """"A7"a | [M:2/2] d'4 z4 |]"""), Style("held"))
    drawing = screen(short, width_mm=186, options=PART)
    assert [place.line for place in drawing.bars] == [0, 0]


def rings_over() -> Arrangement:
    """The bass rings on through bars 3 and 4, and beyond the repeat sign into bar 5."""
    plain = made('|: "D"d6 | "G"g6 | "G"g6 | "G"g6 :| "G"g6 |]')
    ringing = {3, 4, 7, 8, 9}
    pairs = [
        (m, replace(c, struck=(False, *c.struck[1:]), role=None) if m.bar in ringing else c)
        for m, c in zip(plain.moments, plain.choices, strict=True)
        if m.offset == 0
    ]
    moments, choices = (tuple(column) for column in zip(*pairs, strict=True))
    return replace(plain, moments=moments, choices=choices)


def test_no_tie_leads_out_of_an_ending_or_over_a_repeat_sign() -> None:
    score = score_of(rings_over(), PART)
    bars = staff_bars(score)
    assert [bar.notes[0].struck for bar in bars] == [True, True, False, False, False]
    assert [bar.notes[-1].on for bar in bars] == [False, True, True, False, False]
    for bar, after in pairwise(zip(score.bars, bars, strict=True)):
        if bar[0].sheet.closes or after[0].sheet.opens:
            assert not bar[1].notes[-1].on


def test_what_rings_over_a_repeat_sign_has_its_head_in_parentheses_and_the_legend_says_so() -> None:
    """Parentheses are glyphs U+E0F5 and U+E0F6, or U+E26A and U+E26B, of the standard layout of
    music fonts (SMuFL 1.4). Bars 3 and 4 are tied; bar 5 alone is reached over the sign."""
    ringing = rings_over()
    over = [[note.over for note in bar.notes] for bar in staff_bars(score_of(ringing, PART))]
    assert over == [[False]] * 4 + [[True]]
    (page,) = engraved_pages(ringing, PART)
    uses = re.findall(r'<use xlink:href="#(E0F5|E0F6|E26A|E26B)', page.svg)
    assert len(uses) == 2
    assert "in parentheses is not struck" in told(ringing)
    closing, dot = (
        float(re.findall(pattern, page.svg)[-1])
        for pattern in (r'#E26B" transform="translate\((\S+)', r'<ellipse cx="(\S+?)"')
    )
    assert dot - closing > 117 + 36, "the note's dot, 0.36 mm wide, is right of the parenthesis"
    (plain,) = engraved_pages(made(LONG), PART)
    assert not re.search("E0F5|E0F6|E26A|E26B", plain.svg)
    assert "in parentheses" not in told(made(LONG))


def test_tab_of_a_bass_texture_and_its_file_fold_as_the_page_does_and_say_so() -> None:
    """Another finger on G the second time: eight bars, each printed once."""
    other = refingered(made(LONG), 6, 0)
    page = score_of(other, PageOptions())
    assert [bar.sheet.passes for bar in page.bars] == [b.passes for b in fold(other).bars]
    text = text_tab(other)
    assert [(bar.opens, bar.closes) for bar in read_page(text).bars] == [
        (True, False), (False, False), (False, False), (False, True),
    ] * 2  # fmt: skip
    assert "written out" not in text
    assert "are those of its first time" in " ".join(text.split())
    score = etree.fromstring(to_musicxml(other).encode())
    assert [len(part.findall("measure")) for part in score.iter("part")] == [8, 8]
    (field,) = score.findall(".//miscellaneous-field[@name='repeats']")
    assert field.text is not None
    assert "first time" in field.text
    agreed = text_tab(made('|: "D"d6 :|\n'))
    assert "first time" not in agreed, "nothing is said where all times agree"


def test_tab_of_a_bass_texture_keeps_what_each_note_is_to_its_chord() -> None:
    text = text_tab(made(LONG))
    rows = [line.split()[1:] for line in text.splitlines() if line.startswith("bass ")]
    assert rows == [["=R"] * 4] * 2
