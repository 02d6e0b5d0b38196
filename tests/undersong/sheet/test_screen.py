"""The drawing for a screen: every bar has its place, and what the bar holds lies in it."""

import xml.etree.ElementTree as ET

import pytest

from tests.undersong.arranged import bundled
from tests.undersong.sheet.drawn import boxes
from undersong.sheet.engraved import Screen, engraved_pages, screen
from undersong.sheet.errors import SheetError
from undersong.sheet.folding import fold
from undersong.sheet.page_options import PageOptions
from undersong.sheet.paper import paper

TUNES = ("lantern-path", "kettle-on-at-nine", "stacking-the-chairs")
WIDTHS = (100.0, 250.0)


def drawn(tune: str, width: float = 250.0, options: PageOptions | None = None) -> Screen:
    return screen(bundled(tune), width_mm=width, options=options or PageOptions())


def rects(made: Screen) -> list[ET.Element]:
    return [e for e in ET.fromstring(made.svg).iter() if e.get("class") == "bar"]


@pytest.mark.parametrize("tune", TUNES)
@pytest.mark.parametrize("width", WIDTHS)
def test_each_played_bar_has_one_place_and_the_file_says_the_same(tune: str, width: float) -> None:
    arrangement, made = bundled(tune), drawn(tune, width)
    played = sorted(number for place in made.bars for number in place.played)
    assert played == list(range(1, len(arrangement.tune.played) + 1))
    assert [place.played for place in made.bars] == [b.passes for b in fold(arrangement).bars]
    told = [(r.get("data-bar"), r.get("data-played"), r.get("data-line")) for r in rects(made)]
    assert told == [
        (str(place.bar), " ".join(map(str, place.played)), str(place.line)) for place in made.bars
    ]
    for rect, place in zip(rects(made), made.bars, strict=True):
        wanted = (place.x, place.y, place.width, place.height)
        have = [float(rect.attrib[name]) for name in ("x", "y", "width", "height")]
        assert have == pytest.approx(wanted, abs=0.01)


@pytest.mark.parametrize("tune", TUNES)
@pytest.mark.parametrize("width", WIDTHS)
def test_the_frets_of_a_bar_lie_in_its_place_and_in_no_other(tune: str, width: float) -> None:
    arrangement, made = bundled(tune), drawn(tune, width)
    found: dict[int, int] = {}
    for box in boxes(made.svg):
        if box.kind != "fret":
            continue
        x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
        inside = [
            at
            for at, place in enumerate(made.bars)
            if place.x < x < place.x + place.width and place.y < y < place.y + place.height
        ]
        assert len(inside) == 1
        found[inside[0]] = found.get(inside[0], 0) + 1
    struck: dict[int, int] = {}
    for moment, choice in zip(arrangement.moments, arrangement.choices, strict=True):
        struck[moment.bar] = struck.get(moment.bar, 0) + sum(choice.struck)
    assert [found.get(at, 0) for at in range(len(made.bars))] == [
        struck.get(place.played[0], 0) for place in made.bars
    ]


@pytest.mark.parametrize("width", WIDTHS)
def test_places_lie_side_by_side_inside_the_drawing(width: float) -> None:
    made = drawn("lantern-path", width)
    for one, other in zip(made.bars, made.bars[1:], strict=False):
        if one.line == other.line:
            assert other.x == pytest.approx(one.x + one.width, abs=0.5)
            assert (one.y, one.height) == (other.y, other.height)
        else:
            assert other.line == one.line + 1
            assert other.y > one.y + one.height
    assert all(p.x > 0 and p.x + p.width < made.width for p in made.bars)
    assert all(p.y > 0 and p.y + p.height < made.height for p in made.bars)


def test_the_paper_is_of_no_account_and_the_bytes_are_the_same_each_time() -> None:
    made = drawn("kettle-on-at-nine")
    assert made == drawn("kettle-on-at-nine")
    assert made == drawn("kettle-on-at-nine", options=PageOptions(paper("letter", landscape=True)))


def test_pages_for_paper_have_no_such_rectangles() -> None:
    assert all('class="bar"' not in page.svg for page in engraved_pages(
        bundled("kettle-on-at-nine"), PageOptions()
    ))  # fmt: skip


@pytest.mark.parametrize("width", [59.0, 1001.0, float("nan")])
def test_a_width_that_no_drawing_has_is_refused_in_one_sentence(width: float) -> None:
    with pytest.raises(SheetError, match=r"^a drawing for a screen is 60 to 1000 mm wide, not "):
        drawn("kettle-on-at-nine", width)
