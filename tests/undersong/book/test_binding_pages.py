"""What the pages of a book look like: which are turned or empty, feet, headings, fonts and titles
of any length, measured in what is drawn and counted by hand."""

import re
from pathlib import Path
from random import Random

import pytest
from pypdf import PdfReader

from tests.undersong.book.bound_books import REAL, drawn, entry, flat, part, real_entries, texts
from tests.undersong.sheet.drawn import boxes
from undersong.book import binding
from undersong.book.binding import BOOK, EMPTY, _together, bind
from undersong.book.bound import Bound, turns
from undersong.book.columns import set_pages
from undersong.book.entry import Failure
from undersong.book.feet import has_room
from undersong.book.look import look_for
from undersong.book.matter import FAILED, contents_of, failures_of, index_sections
from undersong.sheet.engraved.signs import signed, signed_width
from undersong.sheet.lettering import width
from undersong.sheet.page_options import PageOptions
from undersong.sheet.paper import LETTER, paper

LONG = "Tune that was played at the hall on the Tuesday when " * 8


@pytest.mark.parametrize(
    ("begins", "end", "told"),
    [((4,), 6, 0), ((5,), 7, 1), ((4,), 7, 1), ((5,), 8, 1), ((4,), 8, 1), ((5,), 9, 2),
     ((4, 5), 7, 1), ((5, 6), 8, 0), ((5,), 6, 0)],
)  # fmt: skip
def test_a_page_is_turned_from_an_odd_page_to_the_next(
    begins: tuple[int, ...], end: int, told: int
) -> None:
    """Counted by hand with a book whose page 1 lies on the right."""
    assert turns(begins, end) == told


def test_tunes_of_two_pages_face_each_other_behind_an_empty_page(tmp_path: Path) -> None:
    sizes = (1, 2, 2, 1, 1, 1, 2, 3)
    entries = [entry(at, f"Tune {at}", pages=size) for at, size in enumerate(sizes, 1)]
    drawn(tmp_path, entries)
    bound = bind(entries, tmp_path, "Facing")
    assert bound.begins == {
        1: (4,), 2: (6,), 3: (8,), 4: (10,), 5: (11,), 6: (12,), 7: (14,), 8: (16,)
    }  # fmt: skip
    assert bound.empty == {5, 13}
    pages = [flat(text) for text in texts(tmp_path)]
    assert len(pages) == bound.pages
    for number, page in enumerate(pages, 1):
        assert page.startswith(f"{EMPTY} Facing {number}") == (number in bound.empty)
    for at, begins in bound.begins.items():
        assert pages[begins[0] - 1].startswith(f"Tune {at} Tune {at}")
    contents = next(page for page in pages if page.startswith("Contents"))
    assert "the page before the tune is left empty" in contents


_INDEXES = tuple(f"Index by {each}" for each in ("title", "tuning", "key", "difficulty"))


@pytest.mark.parametrize(
    ("titles", "large", "told"),
    [
        ((FAILED,), False, FAILED),
        (("Index by key",), False, "Index by key"),
        ((FAILED, "Index by title"), False, f"{FAILED}, Index by title"),
        (("Index by title", "Index by key"), True, "Indexes by title and key"),
        ((FAILED, *_INDEXES[:3]), False, f"{FAILED}, Indexes by title, tuning and key"),
        ((FAILED, *_INDEXES), True, f"{FAILED}, Indexes"),
    ],
)
def test_what_stands_at_a_foot_is_never_cut(
    titles: tuple[str, ...], large: bool, told: str
) -> None:
    options = PageOptions(large=large)
    assert has_room(told, options)
    assert _together(titles, options) == told


@pytest.mark.parametrize(
    "options",
    [
        PageOptions(),
        PageOptions(large=True, contrast=True),
        PageOptions(paper=LETTER),
        PageOptions(paper=paper("a4", landscape=True), large=True),
        PageOptions(paper=paper("letter", landscape=True)),
    ],
    ids=["usual", "large", "letter", "large, landscape", "letter, landscape"],
)
def test_nothing_overlaps_or_leaves_the_page_whatever_the_titles(options: PageOptions) -> None:
    random = Random(7)
    words = [
        "Lantern",
        "Gate",
        "Kettle",
        "Frost",
        "Lane",
        "Mending",
        "Candle",
        "Boots",
        "Porch",
        "of",
        "the",
        "and",
        "W",
        "M",
    ]
    entries = []
    for number in range(1, 131):
        title = " ".join(random.choices(words, k=random.choice((1, 2, 3, 5, 12))))
        key = random.choice(("D major", "F# minor", "Bb mixolydian", "A locrian"))
        tuning = random.choice(("D3 A3 D4", "D3 A3 D4 D4", "Bb2 F#3 Bb3"))
        level, capo = random.choice((1, 2, 3)), random.choice(("0", "1", "6+"))
        made = part(title, level=level, key=key, tuning=tuning, capo=capo, file="a.json",
                    first_shape=random.choice(("", "3-0-6+ TIM", "0-0-2 T")))  # fmt: skip
        failures = [Failure(2, f"{title} " * 3, (title, title), "solo")] if number % 9 == 0 else []
        entries.append(entry(number, title, [made], failures=failures))
    entries.append(entry(131, LONG))
    entries.append(entry(132, "W" * 300))
    look = look_for(options)
    bound = Bound(2000, {one.number: (1700 + one.number,) for one in entries})
    contents = contents_of(entries, bound, {FAILED: 1900, "Index by title": 1950}, look)
    sections = [*failures_of(entries, look), *index_sections(entries, bound, look)]
    wide, high, margin = options.paper.width_mm, options.paper.height_mm, options.paper.margin_mm
    sheets = [*set_pages([contents], look), *set_pages(sections, look)]
    assert len(sheets) > 6
    for sheet in sheets:
        # the letters under sharps and flats are white, and as wide as the sign drawn over them
        found = [box for box in boxes(sheet.svg) if box.text.strip(" ♯♭")]
        assert found
        for box in found:
            assert margin - 0.1 <= box.left <= box.right <= wide - margin + 0.1, box
            assert margin <= box.top <= box.bottom <= high - margin - 2 * look.foot, box
        for at, box in enumerate(found):
            assert not any(box.meets(other) for other in found[at + 1 :]), box


def test_headings_go_on_and_no_heading_or_line_stands_alone() -> None:
    """Every page and column begins with a heading; no heading is the last of its column, and no
    page of an index has less than a few lines."""
    entries = [
        entry(at, f"Tune of the {at}th Evening", key=("D major", "E minor", "A dorian")[at % 3])
        for at in range(1, 301)
    ]
    look = look_for(PageOptions())
    bound = Bound(700, {one.number: (10 + one.number,) for one in entries})
    sheets = set_pages(index_sections(entries, bound, look), look)
    pages = [[box for box in boxes(sheet.svg) if box.text.strip()] for sheet in sheets]
    continued = 0
    for sheet, page in zip(sheets, pages, strict=True):
        assert page[0].text in (sheet.titles[0], f"{sheet.titles[0]}, continued")
        lines = [box for box in page if re.match(r"Tune of", box.text)]
        assert len(lines) >= 8
        for left in {round(box.left, 1) for box in page}:
            column = sorted((b for b in page if round(b.left, 1) == left), key=lambda b: b.top)
            if any(box in lines for box in column):
                assert column[-1] in lines
        continued += sum(box.text.endswith(", continued") for box in page)
    assert continued > len(sheets)
    listed = [box.text for page in pages for box in page if re.match(r"Tune of", box.text)]
    assert len(listed) == 5 * 300


def test_a_title_page_holds_a_title_of_any_length(tmp_path: Path) -> None:
    entries = [entry(1, "Harrow Lane")]
    drawn(tmp_path, entries)
    for title in (LONG, "W" * 200, "", "x"):
        bind(entries, tmp_path, title)
        page = PdfReader(tmp_path / BOOK).pages[0]
        assert "for the fretted dulcimer" in flat(page.extract_text())


def test_every_font_is_embedded_and_one_of_ours(tmp_path: Path) -> None:
    bind(real_entries(tmp_path, REAL), tmp_path, "Harrow Lane Class")
    names = set()
    for page in PdfReader(tmp_path / BOOK).pages:
        resources = page["/Resources"]
        forms = resources.get("/XObject", {}).values()
        for some in (resources, *(form.get_object()["/Resources"] for form in forms)):
            for font in some.get("/Font", {}).values():
                font = font.get_object()
                if "/DescendantFonts" in font:
                    font = font["/DescendantFonts"][0].get_object()
                assert "/FontFile2" in font["/FontDescriptor"]
                names.add(font["/BaseFont"].rpartition("+")[2])
    assert names
    assert all(name.startswith("Liberation") for name in names)


def test_the_pages_of_a_book_stand_where_a_further_digit_takes_a_line_more(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of 131 tunes of this kind an index has a page more with the numbers that are printed than
    with those that it was first counted with."""
    monkeypatch.setattr(binding, "_starts", lambda one, *_: tuple(range(len(one.parts))))
    kinds = ((1, "D major", "0-0-2 T"), (2, "D major", "0-0-2 T"), (3, "G major", "4-0-2 TP"))
    title = "Lantern path over the long way round the g"
    parts = [part(title, level=at, key=key, first_shape=shape) for at, key, shape in kinds]
    entries = tuple(entry(at, title, parts) for at in range(1, 132))
    plan = binding._plan(entries, Path(), "A Book", PageOptions())
    assert plan.bound.begins[1] == tuple(range(2 + len(plan.front), 5 + len(plan.front)))
    assert plan.bound.pages == 1 + len(plan.front) + 3 * 131 + len(plan.bound.empty) + len(
        plan.back
    )


def test_the_blank_behind_a_sharp_or_flat_is_kept() -> None:
    """A drawing leaves out blanks at the beginning of a text, so they are made of room."""
    found = boxes(f'<svg xmlns="http://www.w3.org/2000/svg">{signed(0, 9, "F♯ minor", 10)}</svg>')
    sharp, mode = found[-2:]
    assert (sharp.text, mode.text) == ("♯", "minor")
    assert mode.left == pytest.approx(signed_width("F♯", 10) + width(" ", 10), abs=0.02)
