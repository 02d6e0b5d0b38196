"""The engraved page: everything of the arrangement is on it once for each written bar, in order,
nothing of the stand-ins is left, nothing lies over anything else, and pages are black on white.

What a page must hold is worked out here from the moments and choices, apart from the drawing.
"""

import re
from dataclasses import replace
from functools import cache
from io import BytesIO
from itertools import combinations, pairwise, product

import cairosvg
import numpy as np
import pytest
from pypdf import PdfReader

from fretboard.presets import instrument
from solver.result import Arrangement, Taught
from solver.righthand import right_hand
from solver.style import Style
from tests.undersong.arranged import bundled, chart, found
from tests.undersong.sheet.drawn import Box, boxes, lines
from undersong.api import read_tune
from undersong.sheet.engraved import Page, engraved_pages, page_pdf, page_svg
from undersong.sheet.engraved.heading import _level
from undersong.sheet.engraved.score import score_of
from undersong.sheet.engraved.staff import staff_bars
from undersong.sheet.folding import fold
from undersong.sheet.page_options import LARGE, PageOptions
from undersong.sheet.paper import paper

OPTIONS = {
    "usual": PageOptions(),
    "melody on top": PageOptions(bass_on_top=False),
    "tab": PageOptions(parts="tab"),
    "staff": PageOptions(parts="staff"),
    "letter, landscape": PageOptions(paper=paper("letter", landscape=True)),
    "large": PageOptions(large=True, contrast=True),
    "large, landscape": PageOptions(paper=paper("a4", landscape=True), large=True),
    "bass part": PageOptions(bass_part=True),
}

TUNES = {
    "three verses, pickup": lambda: bundled("lantern-path"),
    "6/8, endings": lambda: bundled("kettle-on-at-nine"),
    "ties, triplet, N.C.": lambda: bundled("biscuit-tin-stomp"),
    "64 bars, keys": lambda: bundled("long-way-round-the-green"),
    "no melody": lambda: bundled("stacking-the-chairs"),
    "9/8, four strings": lambda: bundled("three-odd-gloves", strings="four-equidistant"),
    "chromatic, damped": lambda: bundled(
        "wet-boots-in-the-porch", hand="damped-bass-then-strum", strings="chromatic"
    ),
    "solo": lambda: found(read_tune("harrow-lane"), Style(texture="solo")),
    "solo, 9/8": lambda: found(read_tune("three-odd-gloves"), Style(texture="solo")),
    "drone": lambda: found(read_tune("wet-boots-in-the-porch"), Style("held", texture="drone")),
    "bass": lambda: found(read_tune("harrow-lane"), Style("walking", texture="bass")),
    "capo": lambda: found(read_tune("mending-weather"), Style(), instrument("standard", capo="1")),
}


@cache
def arranged(tune: str) -> Arrangement:
    return TUNES[tune]()


@cache
def pages_of(tune: str, name: str = "usual") -> tuple[Page, ...]:
    return engraved_pages(arranged(tune), OPTIONS[name])


def expected(made: Arrangement, options: PageOptions) -> list[tuple[str, str]]:
    """(kind, text) of every fret and finger, bar by printed bar, hit by hit."""
    words = []
    bass = options.bass_part or made.style.texture == "bass"
    count = len(made.instrument.courses)
    courses = [0] if bass else list(range(count))
    if not options.bass_on_top:
        courses.reverse()
    for bar in fold(made, bass).bars:
        played = bar.passes[0]
        for moment, choice in zip(made.moments, made.choices, strict=True):
            if moment.bar != played:
                continue
            for course in courses:
                if not choice.struck[course]:
                    continue
                fret, finger = choice.grip.frets[course], choice.grip.fingers[course]
                words.append(("fret", made.instrument.label(fret, options.from_capo)))
                if finger >= 0:
                    words.append(("finger", "TIMRP"[finger]))
    return words


def everything(made: Arrangement, options: PageOptions) -> list[Box]:
    return [box for page in engraved_pages(made, options) for box in boxes(page.svg)]


@pytest.mark.parametrize("tune", TUNES)
def test_every_fret_finger_chord_and_syllable_stands_once_for_each_written_bar(tune: str) -> None:
    made = arranged(tune)
    found_boxes = [box for page in pages_of(tune) for box in boxes(page.svg)]
    told = [(box.kind, box.text) for box in found_boxes if box.kind in ("fret", "finger")]
    assert told == expected(made, PageOptions())
    folded = fold(made, made.style.texture == "bass")
    bars = [made.tune.bars[bar.written] for bar in folded.bars]
    chords = [box.text for box in found_boxes if box.kind == "chord"]
    wanted = [c.chord.pretty if c.chord else "N.C." for bar in bars for c in bar.chords]
    assert chords == wanted
    if made.style.texture == "bass":
        return
    sung = [word.rstrip("-").strip() for bar in bars for note in bar.notes for word in note.lyrics]
    words = [box.text for box in found_boxes if box.kind == "word" and not box.text.isdigit()]
    assert words == [word for word in sung if word]


@pytest.mark.parametrize("name", OPTIONS)
def test_the_same_holds_however_it_is_printed(name: str) -> None:
    options = OPTIONS[name]
    made = bundled("kettle-on-at-nine")
    told = [(b.kind, b.text) for b in everything(made, options) if b.kind in ("fret", "finger")]
    assert told == ([] if name == "staff" else expected(made, options))


@pytest.mark.parametrize("tune", TUNES)
def test_no_stand_in_is_left(tune: str) -> None:
    for page in pages_of(tune):
        assert not [box for box in boxes(page.svg) if set(box.text) == {"9"} and len(box.text) > 1
                    and box.kind not in ("number",)]  # fmt: skip


@pytest.mark.parametrize("tune", TUNES)
@pytest.mark.parametrize("name", ["usual", "large", "letter, landscape", "large, landscape"])
def test_nothing_lies_over_anything_else_and_all_is_inside_the_margins(
    tune: str, name: str
) -> None:
    options = OPTIONS[name]
    for page in pages_of(tune, name):
        words = [box for box in boxes(page.svg) if box.text.strip()]
        for one, other in combinations(words, 2):
            beside = {one.kind, other.kind} == {"fret", "finger"}
            assert not one.meets(other, air=0.0 if beside else 0.2), (one, other)
        sheet = options.paper
        for box in words:
            assert box.left >= sheet.margin_mm - 1.5, box
            assert box.right <= sheet.width_mm - sheet.margin_mm + 1.5, box
            assert sheet.margin_mm <= box.bottom <= sheet.height_mm - sheet.margin_mm + 0.1, box


@pytest.mark.parametrize("tune", TUNES)
@pytest.mark.parametrize("name", ["usual", "large, landscape"])
def test_the_legend_stands_clear_of_the_last_line(tune: str, name: str) -> None:
    last = pages_of(tune, name)[-1].svg
    legend = min(box.top for box in boxes(last) if box.kind == "legend")
    music = [box.bottom for line in lines(last) for box in line]
    assert all(bottom + 4.5 <= legend for bottom in music)


@pytest.mark.parametrize("tune", TUNES)
def test_a_finger_letter_touches_its_own_number_and_no_other(tune: str) -> None:
    for page in pages_of(tune):
        for line in lines(page.svg):
            frets = [box for box in line if box.kind == "fret"]
            for letter in (box for box in line if box.kind == "finger"):
                level = [f for f in frets if abs(f.bottom - letter.bottom) < 0.01]
                near = sorted(level, key=lambda f: abs(letter.left - f.right))
                assert 0 < letter.left - near[0].right < 0.6
                after = [f for f in level if f.left > letter.left]
                assert all(f.left - letter.right > 0.2 for f in after)


@pytest.mark.parametrize("name", OPTIONS)
def test_a_rendered_page_has_ink_and_white_margins(name: str) -> None:
    for page in engraved_pages(bundled("kettle-on-at-nine"), OPTIONS[name]):
        surface = cairosvg.surface.PNGSurface(
            cairosvg.parser.Tree(bytestring=page.svg.encode()), None, 96, output_width=600
        )
        image = surface.cairo
        pixels = np.frombuffer(bytes(image.get_data()), np.uint8)
        pixels = pixels.reshape(image.get_height(), image.get_width(), 4)[:, :, :3].mean(axis=2)
        pixels = pixels[:-1]  # the last row of pixels is in part below the page
        dark = (pixels < 128).mean()
        assert 0.005 < dark < 0.2
        assert (pixels[:10] > 250).all()  # the margin stays white
        assert (pixels[:, :10] > 250).all()


def test_a_pdf_has_real_sharps_the_caution_and_a_bookmark_for_each_section() -> None:
    made = bundled("long-way-round-the-green")
    file = PdfReader(BytesIO(page_pdf(made, PageOptions())))
    text = "\n".join(page.extract_text() for page in file.pages)
    assert f"Page 1 of {len(file.pages)}" in text
    assert made.tune.title in text
    assert "warm up" in text
    assert "CC0" in text
    titles = [mark.title for mark in file.outline]
    assert titles == [bar.section for bar in made.tune.bars if bar.section]
    assert file.metadata.title == made.tune.title
    sharp = page_pdf(bundled("biscuit-tin-stomp"), PageOptions())
    assert "D/F♯" in PdfReader(BytesIO(sharp)).pages[0].extract_text()


def in_order(wanted: list[str], words: list[str]) -> bool:
    """Whether the wanted words are among the words, in that order."""
    rest = iter(words)
    return all(word in rest for word in wanted)


@pytest.mark.parametrize("tune", ["three verses, pickup", "no melody", "9/8, four strings", "solo"])
def test_the_text_of_a_pdf_has_every_figure_and_chord_in_order(tune: str) -> None:
    made = arranged(tune)
    file = PdfReader(BytesIO(page_pdf(made, PageOptions())))
    words = [word for page in file.pages for word in page.extract_text().split()]
    figures: list[str] = []
    for kind, text in expected(made, PageOptions()):
        if kind == "finger":
            figures[-1] += text  # a number and its letter are copied as one word
        else:
            figures.append(text)
    assert in_order(figures, words)
    folded = fold(made, made.style.texture == "bass")
    bars = [made.tune.bars[bar.written] for bar in folded.bars]
    chords = [c.chord.pretty if c.chord else "N.C." for bar in bars for c in bar.chords]
    assert in_order(chords, words)
    verse = [n.lyrics[0].rstrip("-").strip() for bar in bars for n in bar.notes if n.lyrics]
    assert in_order([word for words_ in verse for word in words_.split()], words)


def test_the_same_arrangement_gives_the_same_bytes() -> None:
    made = bundled("lantern-path")
    assert page_svg(made, PageOptions()) == page_svg(made, PageOptions())
    assert page_pdf(made, PageOptions()) == page_pdf(made, PageOptions())


def test_large_print_has_figures_of_18_points_and_high_contrast_no_colour() -> None:
    for page in engraved_pages(bundled("lantern-path"), OPTIONS["large"]):
        frets = [box for box in boxes(page.svg) if box.kind == "fret"]
        assert frets
        for box in frets:
            size_mm = (box.bottom - box.top) / 0.72
            assert size_mm >= 18 * 25.4 / 72 - 0.02
        for colour in set(page.svg.split('fill="')[1:] + page.svg.split('stroke="')[1:]):
            assert colour.split('"')[0] in ("#000", "#fff", "none", "currentColor")


def test_no_page_ends_with_a_line_of_one_bar() -> None:
    for tune in TUNES:
        pages = pages_of(tune)
        last = lines(pages[-1].svg)
        numbers = [box.text for line in last for box in line if box.kind == "number"]
        assert len(pages) == 1 or len(numbers) >= 3, tune


def test_bars_stand_four_to_a_line_where_they_fit() -> None:
    made = bundled("long-way-round-the-green")
    for page in engraved_pages(made, PageOptions()):
        for line in lines(page.svg):
            assert len([box for box in line if box.kind == "number"]) == 4


@pytest.mark.parametrize(
    ("tune", "name", "wanted"),
    [
        ("three verses, pickup", "usual", [4, 4]),  # a little smaller, or three pages
        ("64 bars, keys", "usual", [5, 6, 5]),
        ("64 bars, keys", "large, landscape", [2, 2, 2, 2, 2, 2, 2, 2]),
    ],
)
def test_lines_are_shared_out_evenly_over_few_pages(
    tune: str, name: str, wanted: list[int]
) -> None:
    pages = pages_of(tune, name)
    assert [len(lines(page.svg)) for page in pages] == wanted


@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize("tune", ["harrow-lane", "third-tuesday-blues", "kettle-on-at-nine"])
def test_large_landscape_pages_hold_two_lines_each_and_tell_every_fact(
    tune: str, size: str
) -> None:
    options = PageOptions(paper=paper(size, landscape=True), large=True, level="2")
    made = bundled(tune)
    pages = engraved_pages(made, options)
    assert min(len(lines(page.svg)) for page in pages) >= 2
    first = " ".join(box.text for box in boxes(pages[0].svg))
    for fact in (f"Key {str(made.tune.key)[0]}", "Tempo", "Tuning D3", "Capo", "Level 2"):
        assert fact in first
    text = " ".join(box.text for page in pages for box in boxes(page.svg))
    assert "Texture song" in text
    assert f"Bass {made.style.manner}" in text


def test_a_version_says_on_its_page_which_level_it_is() -> None:
    """With what it teaches where there is room; or what the player calls it."""
    made = replace(bundled("harrow-lane"), level=Taught(2, "The root on every beat."))
    for options, told in (
        (PageOptions(), "Level 2: The root on every beat."),
        (PageOptions(paper=paper("a4", landscape=True), large=True), "Level 2 Texture"),
        (PageOptions(level="red group"), "Level red group"),
    ):
        first = " ".join(box.text for box in boxes(engraved_pages(made, options)[0].svg))
        assert told in first
    plain = engraved_pages(bundled("harrow-lane"), PageOptions())[0].svg
    assert "Level" not in " ".join(box.text for box in boxes(plain))


def test_columns_of_facts_are_as_level_as_can_be() -> None:
    """Worked by hand: of ten lines four and six are as level as two columns can be, since the
    fifth fact has three lines; three columns are no lower than four."""
    assert _level([1, 1, 1, 1, 3, 1, 2], 2) == [(0, 4), (4, 7)]
    assert _level([1, 1, 1, 1, 3, 1, 2], 3) == [(0, 4), (4, 6), (6, 7)]
    assert _level([5, 1], 3) == [(0, 1), (1, 2), (2, 2)]


def test_lines_stand_in_the_middle_of_a_page_that_has_neither_head_nor_legend() -> None:
    """As much white above them as below, up to 8 mm, and 20 mm between them at the most; each
    enlarged as large print is."""
    sheet = paper("a4", landscape=True)
    pages = engraved_pages(bundled("harrow-lane"), PageOptions(paper=sheet, large=True))
    tops = [
        [float(y) for y in re.findall(r'class="line" transform="translate\(\S+ (\S+)\)', page.svg)]
        for page in pages[1:-1]
    ]
    lower = [some[0] - sheet.margin_mm for some in tops]
    assert all(0 <= one <= 8 * LARGE for one in lower)
    assert max(lower) > 3
    heights = {round(b - a, 1) for some in tops for a, b in pairwise(some)}
    assert max(heights) - min(heights) < 12, "a section's name makes a line higher"


def test_what_is_over_for_one_bar_joins_the_line_before() -> None:
    made = found(chart("key: D\nmetre: 4/4\n| D | G | A | D | G |"))
    counts = [
        len([box for box in line if box.kind == "number"])
        for page in engraved_pages(made, PageOptions())
        for line in lines(page.svg)
    ]
    assert counts in ([5], [3, 2])


_COUNT = re.compile(r'<text class="count" ([^>]*)>([0-9]+|&amp;)</text>')


def counted_bars(pages: tuple[Page, ...]) -> list[list[tuple[int, bool, float]]]:
    """Of each bar the numbers counted, whether in bold, and x; a lower number begins a bar."""
    bars: list[list[tuple[int, bool, float]]] = []
    last = 99
    for attributes, told in _COUNT.findall("".join(page.svg for page in pages)):
        if told.isdigit():
            if int(told) <= last:
                bars.append([])
            last = int(told)
            x = float(re.findall(r'\bx="([0-9.]+)"', attributes)[0])
            bars[-1].append((last, 'font-weight="bold"' in attributes, x))
    return bars


@pytest.mark.parametrize("options", OPTIONS)
@pytest.mark.parametrize(
    ("tune", "rows"),
    [
        ("mending-weather", [range(1, 13), (1, 4, 7, 10), (1, 7)]),
        ("kettle-on-at-nine", [range(1, 7), (1, 4)]),
        ("frost-on-the-allotments", [range(1, 5), (1, 3)]),
        ("three-odd-gloves", [range(1, 10), (1, 4, 7)]),
    ],
)
def test_counts_are_thinned_evenly(tune: str, rows: list[range], options: str) -> None:
    """A row of counts that lacks one (1 to 10, then 12) is counted wrongly: silent ones stand all,
    or those of the felt beats, or every other of four, or none."""
    thinned = 0
    pages = engraved_pages(bundled(tune), OPTIONS[options])
    for bar in counted_bars(pages):
        if bar[0][0] != 1:
            continue  # a pickup
        silent = {number for number, struck, _ in bar if not struck}
        told = {number for number, _, _ in bar}
        if silent:
            row = next(row for row in reversed(rows) if silent <= set(row))
            assert set(row) <= told, bar
        thinned += told != set(rows[0])
    assert thinned or options != "large" or tune != "mending-weather"


def test_silent_counts_do_not_crowd() -> None:
    """Nearly a figure's width of air on either side, worked out here from the type's size: a figure
    is about half as wide as the type is high."""
    drone = found(read_tune("frost-on-the-allotments"), Style("held", texture="drone"))
    tunes = (bundled("mending-weather"), bundled("kettle-on-at-nine"), drone)
    for made, options in product(tunes, ("usual", "large")):
        pages = engraved_pages(made, OPTIONS[options])
        size = float(re.findall(r'class="count"[^>]*font-size="([0-9.]+)"', pages[0].svg)[0])
        for bar in counted_bars(pages):
            for (before, struck, x), (after, and_struck, next_x) in pairwise(bar):
                digits = (len(str(before)) + len(str(after))) / 2
                if not (struck and and_struck):
                    assert next_x - x > size * (0.5 * digits + 0.4), (made.tune.title, bar)


def test_a_damped_bass_note_has_its_wedge() -> None:
    style = Style(right_hand=right_hand("damped-bass-then-strum"))
    made = found(read_tune("harrow-lane"), style)
    wanted = sum(
        moment.damped and choice.struck[0]
        for bar in fold(made).bars
        for moment, choice in zip(made.moments, made.choices, strict=True)
        if moment.bar == bar.passes[0]
    )
    drawn = sum(page.svg.count('class="damped"') for page in engraved_pages(made, PageOptions()))
    assert drawn == wanted > 0


def test_no_tie_joins_two_bass_notes_that_are_both_struck() -> None:
    """Worked by hand: roots, struck in every bar, the same one three bars running."""
    made = found(chart("key: D\nmetre: 3/4\n| D | A | A | A | D |"), Style("roots"))
    score = score_of(made, PageOptions(bass_part=True))
    notes = [note for bar in staff_bars(score) for note in bar.notes]
    assert len(notes) >= 5
    assert all(note.struck for note in notes)
    assert not [note for note in notes if note.on or note.from_]


def test_capo_frets_are_counted_as_asked() -> None:
    made = arranged("capo")
    from_nut = [b.text for b in everything(made, PageOptions()) if b.kind == "fret"]
    options = PageOptions(from_capo=True)
    assert expected(made, options) != expected(made, PageOptions())
    counted = [(b.kind, b.text) for b in everything(made, options) if b.kind in ("fret", "finger")]
    assert counted == expected(made, options)
    assert len(from_nut) == len([kind for kind, _ in counted if kind == "fret"])


def test_the_level_is_named_in_the_head() -> None:
    svg = engraved_pages(bundled("lantern-path"), PageOptions(level="Level 2"))[0].svg
    assert "Level 2" in [box.text for box in boxes(svg) if box.kind == "fact"]
