"""Engraved pages of arrangements put together by chance: any metre, repeats, endings, strings."""

from dataclasses import replace
from itertools import combinations
from random import Random

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from fretboard.presets import instrument
from solver.result import Arrangement
from solver.righthand import RightHand, Stroke
from solver.style import Style
from tests.undersong.arranged import arrangements, bundled, by_chance
from tests.undersong.sheet.drawn import boxes
from tests.undersong.sheet.test_engraved import OPTIONS, expected
from tune.chord import parse_chord
from tune.key import Key
from tune.time import QUARTER, Metre, Tempo
from tune.tune import Bar, ChordChange, Note, Tune
from undersong.sheet.engraved import engraved_pages
from undersong.sheet.errors import SheetError
from undersong.sheet.folding import fold
from undersong.sheet.page_options import PageOptions


@settings(
    max_examples=30,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.generate),
)
@given(arrangements(), st.sampled_from(sorted(OPTIONS)))
def test_whatever_is_asked_for_is_on_the_page_in_order_and_nothing_over_it(
    made: Arrangement, name: str
) -> None:
    options = OPTIONS[name]
    pages = engraved_pages(made, options)
    words = [box for page in pages for box in boxes(page.svg)]
    told = [(box.kind, box.text) for box in words if box.kind in ("fret", "finger")]
    staff_alone = name == "staff" and any(n.midi for bar in made.tune.bars for n in bar.notes)
    assert told == ([] if staff_alone else expected(made, options))
    folded = fold(made, options.bass_part or made.style.texture == "bass")
    bars = [made.tune.bars[bar.written] for bar in folded.bars]
    wanted = [c.chord.pretty if c.chord else "N.C." for bar in bars for c in bar.chords]
    assert [box.text for box in words if box.kind == "chord"] == wanted
    for page in pages:
        for one, other in combinations([b for b in boxes(page.svg) if b.text.strip()], 2):
            assert not one.meets(other), (one, other)
    edge = options.paper.width_mm - options.paper.margin_mm + 1.5
    assert all(box.right <= edge for box in words)


@pytest.mark.parametrize("options", [PageOptions(), PageOptions(large=True)])
@pytest.mark.parametrize("step", [QUARTER // 8, QUARTER // 4, QUARTER // 3])
def test_a_bar_too_full_for_its_line_is_printed_smaller_and_not_over_itself(
    step: int, options: PageOptions
) -> None:
    metre = Metre(4, 4)
    strokes = tuple(
        Stroke(tick, "upper" if number % 2 else "bass")
        for number, tick in enumerate(range(0, metre.bar, step))
    )
    notes = tuple(Note(n * step, step, 62, lyrics=("strength-",)) for n in range(len(strokes)))
    chords = (ChordChange(0, parse_chord("F#m7b5")), ChordChange(QUARTER, parse_chord("Bbmaj7")))
    bars = tuple(Bar(n, metre, metre.bar, Key("D"), chords, notes) for n in range(1, 4))
    tune = Tune("Too Full", Key("D"), metre, Tempo(QUARTER, 40), bars)
    style = Style(right_hand=RightHand("mine", "", False, ((metre, strokes),)))
    made = by_chance(tune, style, instrument(), Random(1))
    for page in engraved_pages(made, options):
        words = [box for box in boxes(page.svg) if box.text.strip()]
        for one, other in combinations(words, 2):
            assert not one.meets(other), (one, other)


def test_signs_of_markup_in_a_title_or_a_word_stay_words() -> None:
    made = bundled("lantern-path")
    bar = made.tune.bars[1]
    odd = tuple(replace(note, lyrics=("<b>&amp;",)) for note in bar.notes)
    tune = replace(
        made.tune,
        title='Tom & <Jill> "2" ♯',
        composer="A & B < C",
        bars=(made.tune.bars[0], replace(bar, notes=odd), *made.tune.bars[2:]),
    )
    page = engraved_pages(replace(made, tune=tune), PageOptions())[0]
    words = [box.text for box in boxes(page.svg)]
    assert 'Tom & <Jill> "2" ♯' in words
    assert "A & B < C" in words
    assert words.count("<b>&amp;") == len(bar.notes)


def test_a_length_that_no_note_value_has_names_its_bar_and_the_mend() -> None:
    made = bundled("lantern-path")
    bar = made.tune.bars[3]
    odd = (Note(0, 1, 62, "D"), Note(1, bar.length - 1, 62, "D"))
    bars = (*made.tune.bars[:3], replace(bar, notes=odd), *made.tune.bars[4:])
    with pytest.raises(SheetError, match=rf"^bar {bar.number}: .* write \.txt or \.json"):
        engraved_pages(replace(made, tune=replace(made.tune, bars=bars)), PageOptions())
