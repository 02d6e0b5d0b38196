"""Chords without their third are told in the foot of both pages. music21 says which tone of a chord
symbol is its third, and the strings are gone over here, bar by bar."""

import re

import pytest
from music21.harmony import ChordSymbol

from scoring.weights import Weights
from solver.conditions import Conditions
from solver.conditions.pins import Pin
from solver.result import Arrangement
from solver.style import Style
from tests.undersong.arranged import bundled, chart
from tests.undersong.sheet.drawn import boxes
from tune.readers.abc import read_abc
from undersong.session import Session
from undersong.sheet.engraved import engraved_pages
from undersong.sheet.options import SheetOptions
from undersong.sheet.page_options import PageOptions
from undersong.sheet.text import text_tab
from undersong.sheet.third_words import third_words

CARELESS = Weights.of({"third-missing": 0, "third-fading": 0, "finger-down": 300})


def pinned(bars: str, *pins: str) -> Arrangement:
    session = Session(chart(f"key: D\nmetre: 4/4\n{bars}\n"))
    made = [pin for text in pins for pin in Pin.parse(text, False, session.instrument)]
    return session.arrange(conditions=Conditions(pins=tuple(made)))


@pytest.mark.parametrize(
    ("bars", "pins", "told"),
    [
        ("| D | G | D |", ("1: *-0-0", "2: 3-1-0", "3: *-0-2"), "In bar 1 "),
        ("| D5 | G | D |", ("1: *-0-0", "2: 3-1-0", "3: *-0-2"), ""),  # D5 has none by name
        ("| Dsus4 | G | D |", ("1: *-0-3", "2: 3-1-0", "3: *-0-2"), ""),
        ("| G | G A7 | D |", ("1: *-3-0", "2 beat 4: *-2-1", "3: *-0-2"), "In bar 1 "),
        ("| D | D | G |", ("1 beat 2: *-0-2", "2: *-0-0", "3: 3-3-3"), "In bar 3 "),  # in the ear
        ("| D | D | G |", ("1 beat 2: *-0-0", "1 beat 4: *-0-2", "3: 3-1-0"), ""),
    ],
)  # fmt: skip
def test_chords_without_a_third_by_hand(bars: str, pins: tuple[str, ...], told: str) -> None:
    words = third_words(pinned(bars, *pins))
    assert words.startswith(told)
    assert bool(words) == bool(told)


@pytest.mark.parametrize(
    ("name", "texture"),
    [
        ("harrow-lane", "song"),
        ("lantern-path", "song"),
        ("mending-weather", "song"),
        ("mending-weather", "solo"),
        ("lantern-path", "solo"),
    ],
)
def test_every_bar_whose_chord_has_no_third_is_named(name: str, texture: str) -> None:
    made = Session(bundled(name).tune, style=Style(texture=texture)).arrange(CARELESS)
    bars: dict[tuple[int, str], bool] = {}
    strummed: set[tuple[int, str]] = set()  # a bass note alone lacks nothing
    known: set[tuple[int, str]] = set()  # the chord goes on, and its third was heard
    before = ""
    for moment, choice in zip(made.moments, made.choices, strict=True):
        if moment.chord is None:
            continue
        chord, number = str(moment.chord), made.tune.bars[moment.written].number
        third = ChordSymbol(re.sub(r"(?<=[A-G])b", "-", chord)).third
        key = (moment.bar * 1000 + number, chord)
        pitches = {
            made.instrument.pitch(course, fret) % 12
            for course, fret in enumerate(choice.grip.frets)
            if fret >= 0
        }
        there = third is None or third.pitchClass in pitches
        if moment.change and chord != before:
            known.discard((0, chord))
        if there or (0, chord) in known:
            known.add((0, chord))
        if moment.judged or sum(choice.struck) > 1:
            strummed.add(key)
        bars[key] = bars.get(key, False) or there or (0, chord) in known
        before = chord
    expected = {key[0] % 1000 for key, there in bars.items() if key in strummed and not there}
    words = third_words(made)
    assert expected, "thirds cost nothing here, and fingers much"
    spelt = re.sub(
        r"(\d+)-(\d+)", lambda m: " ".join(map(str, range(int(m[1]), int(m[2]) + 1))), words
    )
    assert set(map(int, re.findall(r"\d+", spelt))) == expected


def test_both_pages_say_so_in_their_foot() -> None:
    made = pinned("| D | G | D |", "1: *-0-0", "2: 3-1-0", "3: *-0-2")
    words = third_words(made)
    page = text_tab(made, SheetOptions())
    assert words in " ".join(page.split())
    assert page.index("without its third") < page.index("Lines  ")

    def printed(options: PageOptions) -> str:
        pages = engraved_pages(made, options)
        return " ".join(b.text for p in pages for b in boxes(p.svg) if b.kind == "legend")

    assert words == "In bar 1 a chord sounds without its third."
    assert "A third is missing in bar 1." in printed(PageOptions())
    assert "third" not in printed(PageOptions(bass_part=True))


@pytest.mark.parametrize("style", [Style(texture="bass"), Style("held", texture="drone")])
def test_drones_and_bass_parts_say_nothing_of_it(style: Style) -> None:
    tune = read_abc('X:1\nT:Gate\nM:4/4\nL:1/4\nK:D\n"D"d2 f2|"G"g2 d2|"A7"e4|"D"d4|]\n')
    made = Session(tune, style=style).arrange()
    assert third_words(made) == ""
