"""The text tab, read back by a reader of the tests' own and played as a player would."""

from functools import lru_cache

import pytest

import corpus
from fretboard.hand import FINGERS
from solver.result import Arrangement
from tests.undersong.arranged import bundled
from tests.undersong.tab_page import PageBar, join_parts, play, read_page
from tune.time import QUARTER
from undersong.sheet.bass_names import shown_role
from undersong.sheet.options import SheetOptions
from undersong.sheet.text import text_tab
from undersong.sheet.text_signs import ROLE_SIGNS

CORPUS = [name for name in corpus.names() if name != "the-vicars-piano"]
USUAL = SheetOptions()
STYLES = [
    ("alternating", "bass-then-strum"),
    ("walking", "damped-bass-then-strum"),
    ("held", "full-strum"),
    ("runs", "broken"),
    ("roots", "bass-only"),
]


@lru_cache
def played_page(arrangement: Arrangement, options: SheetOptions) -> list[PageBar]:
    page = read_page(text_tab(arrangement, options), options.bass_on_top)
    return play(join_parts(page.bars))


def assert_page_is(arrangement: Arrangement, options: SheetOptions = USUAL) -> None:
    """The page, played with its repeats, is the arrangement: each stroke, fret, finger, bass role
    and damping once, in order, at its beat, and each string solid while it sounds. Where the page
    says that the first time's fingers stand, the frets."""
    bars = played_page(arrangement, options)
    assert len(bars) == len(arrangement.tune.played)
    pairs = list(zip(arrangement.moments, arrangement.choices, strict=True))
    sounded = [False] * len(arrangement.instrument.courses)
    first_stands = "are those of its first time" in " ".join(text_tab(arrangement).split())
    assert arrangement.style.texture == "bass" or not first_stands
    for played, bar in zip(arrangement.tune.played, bars, strict=True):
        inside = {m.offset: (m, c) for m, c in pairs if m.bar == played.number}
        written = arrangement.tune.bars[played.written]
        assert bar.number == (str(written.number) if written.number else "")
        chords = {c.tick: c.chord.symbol if c.chord else "N.C." for c in written.chords}
        ticks = ticks_of(bar, arrangement, played.number)
        assert set(inside) | set(chords) <= set(ticks), (played, sorted(inside), ticks)
        held = list(sounded)
        for tick, column in zip(ticks, bar.columns, strict=True):
            assert column.chord == chords.get(tick, "")
            if tick not in inside:
                assert all(not isinstance(string, tuple) for string in column.strings)
                assert column.role == ""
                continue
            moment, choice = inside[tick]
            if first_stands:
                string = column.strings[0]
                label = arrangement.instrument.label(choice.grip.frets[0], options.from_capo)
                assert isinstance(string, tuple) == choice.struck[0]
                assert not isinstance(string, tuple) or string[0] == label
                continue
            # an open bass string is named by its place in the chord (``sheet.bass_names``)
            role = shown_role(moment, choice, arrangement.instrument)
            assert column.role == (ROLE_SIGNS[role] if role else "")
            for course, string in enumerate(column.strings):
                fret, finger = choice.grip.frets[course], choice.grip.fingers[course]
                damped = course == 0 and moment.damped and choice.struck[0]
                if choice.struck[course]:
                    name = arrangement.instrument.label(fret, options.from_capo)
                    letter = FINGERS[finger] if finger >= 0 else ""
                    assert string == (name, letter, damped)
                    held[course] = True
                else:
                    assert not isinstance(string, tuple)
                    if fret < 0 and sounded[course]:
                        assert string == ")"
                sounds = fret >= 0 and not damped
                if held[course] or sounds:  # else nothing is there that could ring or be let go
                    assert column.sounds[course] == sounds
                    assert (string == ")") <= (fret < 0)
                held[course] = held[course] or sounded[course]
                sounded[course] = sounds


def ticks_of(bar: PageBar, arrangement: Arrangement, number: int) -> list[int]:
    """The tick of each column by the beat row alone: numbers are beats, dots their parts."""
    played = arrangement.tune.played[number - 1]
    written = arrangement.tune.bars[played.written]
    beat = written.metre.beat
    parts = 3 if written.metre.compound else 2 if beat >= QUARTER else 1
    inside = {m.offset for m in arrangement.moments if m.bar == number}
    inside |= {change.tick for change in written.chords}
    lead = lead_of(arrangement, number)
    ticks: list[int] = []
    for column in bar.columns:
        after = ticks[-1] if ticks else -1
        if column.beat.isdigit():
            tick = (int(column.beat) - 1) * beat - lead
        elif column.beat == ".":
            part = beat // parts
            tick = (after + lead) // part * part + part - lead
            assert (tick + lead) % beat, "all the parts of a beat are marked, or none"
        else:
            tick = next(t for t in sorted(inside) if t > after)
            assert (tick + lead) % (beat // parts), "a comma stands between the parts of a beat"
        assert tick > after, (bar, ticks)
        ticks.append(tick)
    return ticks


def lead_of(arrangement: Arrangement, number: int) -> int:
    """Ticks missing before the bar: only a pickup of these tunes has any."""
    tune = arrangement.tune
    first = tune.bars[0]
    return first.metre.bar - first.length if number == 1 else 0


@pytest.mark.parametrize("name", CORPUS)
def test_a_page_played_back_is_the_arrangement(name: str) -> None:
    assert_page_is(bundled(name))


@pytest.mark.parametrize(("manner", "hand"), STYLES[1:])
@pytest.mark.parametrize("name", ["kettle-on-at-nine", "wet-boots-in-the-porch"])
def test_so_it_is_in_every_manner_and_right_hand(name: str, manner: str, hand: str) -> None:
    arrangement = bundled(name, manner, hand)
    assert_page_is(arrangement)
    assert_page_is(arrangement, SheetOptions(bass_on_top=False, width=50))
