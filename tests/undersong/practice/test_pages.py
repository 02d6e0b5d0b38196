"""The practice plan on pages: its words in order in the PDF, ink in the picture, same bytes."""

import re
from dataclasses import replace
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import cairocffi
import cairosvg
import numpy as np
import pytest
from numpy.typing import NDArray
from pypdf import PdfReader

import undersong
from fretboard.hand import CAUTION
from tests.undersong.arranged import bundled
from tests.undersong.practice.test_plan import hurried
from tests.undersong.practice.test_text import small_handed
from undersong.practice import Plan, Rung, Wishes, plan_for, practice_pages, practice_pdf, words
from undersong.practice.pages import PageLook, practice_leaves
from undersong.sheet.engraved.strip import strips
from undersong.sheet.paper import A4, LEAST_MARGIN, LETTER

LOOKS = (
    PageLook(),
    PageLook(A4.turned),
    PageLook(LETTER, large=True),
    PageLook(LETTER.turned, large=True, contrast=True),
)


def in_order(text: str, parts: list[str]) -> None:
    """Each part stands in the text behind the one before it."""
    at = 0
    for part in parts:
        found = text.find("".join(part.split()), at)
        assert found >= 0, f"{part!r} does not follow"
        at = found + 1


def said(plan: Plan) -> list[str]:
    """All sentences and figures of a plan, in order."""
    parts = [*words.opening(plan), CAUTION, words.warm_up(plan), words.rests()]
    for number, spot in enumerate(plan.spots, 1):
        parts += [words.spot_title(spot, number), words.spot_reason(spot), words.spot_how(spot)]
        for rung in spot.rungs:
            asks = [] if spot.steady else [f"asks {rung.rating} %"]
            parts += [str(rung.tempo), *asks, f"time {rung.hurry} %"]
        parts.append(words.ladder_note(spot))
    return [part for part in [*parts, words.closing(plan)] if part]


@pytest.mark.parametrize("look", LOOKS)
def test_every_sentence_and_tempo_is_found_in_the_pdf_in_order(look: PageLook) -> None:
    plan = plan_for(bundled("kettle-on-at-nine"), Wishes(spots=3))
    pages = [page.extract_text() for page in PdfReader(BytesIO(practice_pdf(plan, look))).pages]
    bodies = [re.sub(r"Kettle On at Nine: practice plan\s+\d+ / \d+\s*$", "", p) for p in pages]
    in_order("".join("".join(bodies).split()), said(plan))
    for at, page in enumerate(pages, 1):
        assert f"{at} / {len(pages)}" in page


def test_every_fret_finger_and_chord_of_a_loop_is_found() -> None:
    plan = plan_for(hurried(), Wishes(spots=1))
    text = PdfReader(BytesIO(practice_pdf(plan))).pages[0].extract_text()
    loop = text[text.index("1. Bars 2-3") : text.index("Play each tempo")]
    # by hand: E minor on fret 1, D on fret 7, both the index, under bars 2 and 3
    in_order("".join(loop.split()), ["2 3", "Em", "D", "1 I", "7 I"])


def test_bookmarks_lead_to_the_places() -> None:
    plan = plan_for(bundled("kettle-on-at-nine"))
    reader = PdfReader(BytesIO(practice_pdf(plan)))
    for mark, title in zip(
        reader.outline,
        ["Practice plan", *(words.spot_title(s, n) for n, s in enumerate(plan.spots, 1))],
        strict=True,
    ):
        assert not isinstance(mark, list)
        assert mark.title == title
        number = reader.get_destination_page_number(mark)
        assert number is not None
        page = " ".join(reader.pages[number].extract_text().split())
        assert (title if title != "Practice plan" else "practice plan") in page
    assert reader.metadata is not None
    assert reader.metadata.title == "Kettle On at Nine: practice plan"


def test_same_plan_same_bytes() -> None:
    plan = plan_for(hurried())
    again = plan_for(hurried())
    assert practice_pdf(plan) == practice_pdf(again)
    assert [leaf.svg for leaf in practice_pages(hurried())] == [
        leaf.svg for leaf in practice_leaves(again, PageLook())
    ]


@pytest.mark.parametrize("look", LOOKS)
def test_pages_have_ink_and_none_of_it_where_no_printer_prints(look: PageLook) -> None:
    for leaf in practice_leaves(plan_for(bundled("kettle-on-at-nine")), look):
        dark = pixels(leaf.svg, look, 6) < 200
        assert 0.005 < dark.mean() < 0.3
        edge = round(6 * LEAST_MARGIN)
        assert dark.sum() == dark[edge:-edge, edge:-edge].sum()


def pixels(svg: str, look: PageLook, per_mm: int) -> NDArray[np.uint8]:
    """How bright each pixel is, 0 to 255, row by row from the top."""
    wide, high = round(look.paper.width_mm * per_mm), round(look.paper.height_mm * per_mm)
    png = cairosvg.svg2png(bytestring=svg.encode(), output_width=wide, output_height=high)
    surface = cairocffi.ImageSurface.create_from_png(BytesIO(png))
    assert (surface.get_width(), surface.get_height()) == (wide, high)
    data = np.frombuffer(bytes(surface.get_data()), np.uint8).reshape(high, -1)
    return data[:, 1 : 4 * wide : 4]


def test_what_is_beyond_the_hand_has_another_ground_and_contrast_has_none() -> None:
    easy, hard = plan_for(bundled("kettle-on-at-nine")), plan_for(small_handed())
    assert easy.spots[0].rungs[-1].has_time
    assert not hard.spots[0].rungs[0].has_time
    first = [practice_leaves(plan, PageLook())[0].svg for plan in (easy, hard)]
    assert ["#e9f0e4" in svg for svg in first] == [True, False]
    assert ["#f3ddd3" in svg for svg in first] == [False, True]
    black = "".join(leaf.svg for leaf in practice_leaves(hard, PageLook(contrast=True)))
    colours = set(re.findall(r'fill="(#[0-9a-f]+)"', black))
    assert colours <= {"#fff", "#000"}


def test_a_place_keeps_together() -> None:
    """A place's title, bars and tempi stand on one page."""
    plan = plan_for(bundled("kettle-on-at-nine"), Wishes(spots=8))
    pages = practice_leaves(plan, PageLook())
    assert len(pages) > 1
    for number, spot in enumerate(plan.spots, 1):
        title = words.spot_title(spot, number)
        (page,) = [leaf.svg for leaf in pages if title in leaf.titles]
        after = page[page.index(f">{title[: title.index(' (')]}") :]
        for rung in spot.rungs:
            after = after[after.index(f">time {rung.hurry} %<") + 1 :]


@pytest.mark.parametrize(("look", "rows"), [(LOOKS[0], [5, 5]), (LOOKS[2], [5, 5])])
def test_steps_are_shared_out_evenly_over_rows(look: PageLook, rows: list[int]) -> None:
    """By hand: a step is 14 mm wide at the least, 1.4 times that in large print; A4 has 186 mm
    inside its margins, two columns of 89.5 mm with 7 between, so six fit; Letter has 191.9 mm, one
    column, so nine large ones fit; ten are five and five on both."""
    plan = plan_for(hurried(), Wishes(spots=1))
    spot = plan.spots[0]
    tempi = [Rung(50 + 2 * at, 10, 5) for at in range(10)]
    long = replace(spot, ladder=replace(spot.ladder, rungs=tuple(tempi)))
    svg = "".join(leaf.svg for leaf in practice_leaves(replace(plan, spots=(long,)), look))
    steps = re.findall(r'<rect x="([0-9.]+)" y="[0-9.]+" width="([0-9.]+)" height="[0-9.]+" f', svg)
    lefts = [float(x) for x, _ in steps]
    starts = [at for at, left in enumerate(lefts) if left == look.paper.margin_mm]
    assert [b - a for a, b in pairwise([*starts, len(lefts)])] == rows
    for left, wide in steps:
        assert float(left) + float(wide) <= look.paper.width_mm - look.paper.margin_mm


CHANGING = 'X:1\nT:Try\nM:2/4\nL:1/8\nK:D\n"D"D2 F2|[M:4/4]"G"{c}(3GAB (3ddd B4|]\n'


def test_a_loop_is_whole_however_narrow_its_column(tmp_path: Path) -> None:
    """Also where two bars fill a line to the brim and the second has another metre."""
    (tmp_path / "try.abc").write_text(CHANGING)
    made = undersong.arrange(undersong.read_tune(tmp_path / "try.abc"))
    for wide in range(60, 120, 4):
        lines = strips(made, PageLook().engraved, float(wide), loop=True)
        assert len(lines) in (1, 2)
    assert len(lines) == 1
