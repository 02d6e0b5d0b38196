"""Diagrams of shapes that nobody could play, on all kinds of instruments: nothing meets, nothing
leaves the paper, every stopped fret has its number."""

from collections import Counter
from dataclasses import replace
from itertools import combinations
from random import Random

import pytest

from fretboard.presets import instrument
from solver.style import Style
from tests.undersong.arranged import by_chance, chart
from tests.undersong.sheet.drawn import boxes
from undersong.sheet.boxes import DiagramOptions, shape_leaves
from undersong.sheet.paper import A4, LETTER
from undersong.sheet.used import used_shapes

STRINGS = ("standard", "chromatic", "four-equidistant", "bass", "partial-1+8+", "doubled")
TITLES = ("Try", "Séance für Zoë", "The " + "long " * 30 + "title")
TUNE = "key: Eb\nmetre: 4/4\n| Eb | Ab Bb7 | F#m7b5 | Dbmaj7/F |"


@pytest.mark.parametrize("seed", range(30))
def test_whatever_is_stopped_can_be_read(seed: int) -> None:
    random = Random(seed)
    strung = instrument(random.choice(STRINGS), capo=random.choice(("0", "0", "3")))
    made = by_chance(chart(TUNE), Style(), strung, random)
    made = replace(made, tune=replace(made.tune, title=random.choice(TITLES)))
    options = DiagramOptions(
        paper=random.choice((A4, LETTER, A4.turned)),
        left_handed=random.random() < 0.5,
        bass_on_top=random.random() < 0.5,
        from_capo=random.random() < 0.5,
        large=random.random() < 0.5,
    )
    words = []
    for leaf in shape_leaves(made, options):
        page = boxes(leaf.svg)
        assert [(a.text, b.text) for a, b in combinations(page, 2) if a.meets(b)] == []
        assert min(box.left for box in page) >= options.paper.margin_mm - 0.01
        right = options.paper.width_mm - options.paper.margin_mm
        assert max(box.right for box in page) <= right + 0.01
        words += [box.text for box in page]
    # of each shape every stopped fret once above the strings, and once a string at the nut
    wanted: Counter[str] = Counter()
    for used in used_shapes(made):
        stopped = [fret for fret in used.shape.frets if fret is not None]
        wanted.update(strung.label(f, options.from_capo) for f in [*set(stopped), *stopped])
    assert wanted <= Counter(words)
