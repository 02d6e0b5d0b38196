"""Books read back with pypdf: contents, page numbers, links, bookmarks, failures, and every size
of book; with another reader too where the system has one."""

import re
import shutil
import subprocess
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from random import Random
from typing import Any

import pytest
from pypdf import PageObject, PdfReader

from fretboard.hand import CAUTION
from tests.undersong.arranged import bundled
from tests.undersong.book.bound_books import drawn, entry, flat, leaf, part, real_entries, texts
from tests.undersong.sheet.drawn import boxes
from undersong.book import binding
from undersong.book.binding import BOOK, EMPTY, _together, bind
from undersong.book.bound import Bound, turns
from undersong.book.columns import set_pages
from undersong.book.drawing import draw_tune
from undersong.book.entry import Entry, Failure
from undersong.book.feet import has_room
from undersong.book.front import READING
from undersong.book.look import look_for
from undersong.book.matter import FAILED, _reason, contents_of, failures_of, index_sections
from undersong.book.paged import Mark, PagedFile
from undersong.sheet.engraved.signs import signed, signed_width
from undersong.sheet.errors import SheetError
from undersong.sheet.lettering import width
from undersong.sheet.page_options import PageOptions
from undersong.sheet.paper import LETTER, paper
from undersong.sheet.pdf import pdf_of

REAL = ("harrow-lane", "lantern-path")
TITLES = ("The Vicar's Piano", "Frost on the Allotments", "Kettle On at Nine", "Éirí na Gréine")
LONG = "Tune that was played at the hall on the Tuesday when " * 8


def some(folder: Path, **options: PageOptions) -> list[Entry]:
    """Four tunes of two pages and two versions, one that failed in a level, one altogether."""
    mends = ("capo at 1: 3400 ms of hand work; nothing lost", "tune D-A-C")
    failed = [Failure(at, "bar 7: F cannot be played", mends[at - 3 :], "song") for at in (3, 4)]
    entries = [
        entry(at, title, [part(title, level=1), part(title, level=2)], pages=3)
        for at, title in enumerate(TITLES, 1)
    ]
    entries[1] = replace(entries[1], failures=tuple(failed))
    entries.append(entry(5, "Lost Gloves", [], failures=[Failure(None, "line 3: no key is given")]))
    drawn(folder, entries, **options)
    return entries


def rows(pages: list[str]) -> dict[str, int]:
    """Title → page, of the contents' lines."""
    found: dict[str, int] = {}
    for text in pages:
        for line in text.splitlines():
            if match := re.fullmatch(
                r"(.+?)\s+(?:[A-G].? (?:major|minor).*\s)?(\d+)", line.strip()
            ):
                found[match.group(1).strip()] = int(match.group(2))
    return found


def marks(file: PdfReader) -> list[tuple[int, str, int | None]]:
    """(depth, title, page from 1) of every bookmark, in order."""

    def within(items: list, depth: int) -> list[tuple[int, str, int | None]]:
        found = []
        for item in items:
            if isinstance(item, list):
                found += within(item, depth + 1)
            else:
                page = file.get_destination_page_number(item)
                found.append((depth, item.title, None if page is None else page + 1))
        return found

    return within(file.outline, 0)


def leads(file: PdfReader, page: PageObject) -> list[tuple[tuple[float, ...], int]]:
    """(rectangle, page from 1) of every link on the page."""
    numbers = {one.indirect_reference.idnum: at for at, one in enumerate(file.pages, 1)}
    return [
        (tuple(map(float, link["/Rect"])), numbers[link["/Dest"][0].idnum])
        for link in (one.get_object() for one in page.get("/Annots", ()))
    ]


def test_every_real_tune_is_in_the_contents_with_the_page_where_its_title_stands(
    tmp_path: Path,
) -> None:
    entries = real_entries(tmp_path, REAL)
    bound = bind(entries, tmp_path, "Harrow Lane Class")
    pages = texts(tmp_path)
    assert len(pages) == bound.pages
    told = rows([page for page in pages if page.startswith("Contents")])
    for one in entries:
        assert bound.begins[one.number][0] == told[one.title]
        heads = [
            at for at, page in enumerate(pages, 1) if f"{one.title}\n" in page and "Texture" in page
        ]
        assert heads == list(bound.begins[one.number])
        for level, page in enumerate(bound.begins[one.number], 1):
            assert re.search(rf"Level\s+{level}\b", pages[page - 1])


def test_tunes_of_a_book_say_at_their_foot_which_page_of_which_version_they_are(
    tmp_path: Path,
) -> None:
    entries = real_entries(tmp_path, REAL)
    bound = bind(entries, tmp_path, "Harrow Lane Class")
    pages = texts(tmp_path)
    first, second = bound.begins[1]
    assert second - first == 2
    for at, page in enumerate(pages[first - 1 : second - 1], 1):
        assert f"Harrow Lane: level 1 ({at} of 2)" in page
        assert "Page 1 of 2" not in page  # the single sheet's own number
    assert "Harrow Lane: level 2" in pages[second - 1]


def test_the_caution_stands_once_in_the_whole_book_and_no_tune_explains_its_signs_again(
    tmp_path: Path,
) -> None:
    bind(real_entries(tmp_path, REAL), tmp_path, "Harrow Lane Class")
    pages = [flat(page) for page in texts(tmp_path)]
    assert [CAUTION in page for page in pages].count(True) == 1
    assert pages[1].startswith(READING)
    assert CAUTION in pages[1]
    assert ["T thumb" in page for page in pages].count(True) == 1
    assert "Proven best" in pages[4]


def test_every_page_but_the_title_page_has_its_number_and_the_books_title_at_its_foot(
    tmp_path: Path,
) -> None:
    bind(some(tmp_path), tmp_path, "Tunes of the Hall")
    file = PdfReader(tmp_path / BOOK)
    for number, page in enumerate(file.pages, 1):
        whole = flat(page.extract_text())
        if number == 1:
            assert whole.startswith("Tunes of the Hall")
            assert whole.endswith("Arranged with Undersong")
        else:
            assert whole.endswith(f"Tunes of the Hall {number}")
            assert whole.count("Tunes of the Hall") == 1


def test_another_reader_finds_the_same_words_and_number_on_each_page(tmp_path: Path) -> None:
    """Outside: poppler's pdftotext, where the system has it."""
    program = shutil.which("pdftotext")
    if program is None:
        pytest.skip("the system has no pdftotext")
    bound = bind(some(tmp_path), tmp_path, "Tunes of the Hall")
    run = subprocess.run(
        [program, "-layout", str(tmp_path / BOOK), "-"], capture_output=True, text=True, check=True
    )
    assert run.stderr == ""
    pages = run.stdout.split("\f")[:-1]
    assert len(pages) == bound.pages
    for number, page in enumerate(pages[1:], 2):
        assert re.search(rf"Tunes of the Hall\s+{number}$", page.rstrip())
    for one, begins in bound.begins.items():
        assert TITLES[one - 1] in pages[begins[0] - 1]


def test_lines_of_contents_and_indexes_lead_where_they_say(tmp_path: Path) -> None:
    entries = some(tmp_path)
    bound = bind(entries, tmp_path, "Tunes of the Hall")
    file = PdfReader(tmp_path / BOOK)
    texts = [page.extract_text() for page in file.pages]
    contents = next(at for at, text in enumerate(texts) if text.startswith("Contents"))
    told = list(rows([texts[contents]]).values())[:-1]  # the foot has a number too
    found = leads(file, file.pages[contents])
    assert [page for _, page in found] == told
    assert [page for _, page in found[:4]] == [bound.begins[one][0] for one in (1, 2, 3, 4)]
    for (left, bottom, right, top), _ in found:
        assert 0 < left < right < 596
        assert 0 < bottom < top < 842
    tops = [box[3] for box, _ in found]
    assert tops == sorted(tops, reverse=True)
    indexes = [at for at, text in enumerate(texts) if text.startswith("Index")]
    assert indexes
    assert all(leads(file, file.pages[at]) for at in indexes)


def test_bookmarks_lead_to_sections_tunes_and_versions(tmp_path: Path) -> None:
    bound = bind(some(tmp_path), tmp_path, "Tunes of the Hall")
    file = PdfReader(tmp_path / BOOK)
    found = marks(file)
    pages = [flat(text) for text in texts(tmp_path)]
    tunes = [(title, page) for depth, title, page in found if depth == 1]
    assert tunes == [(title, bound.begins[at][0]) for at, title in enumerate(TITLES, 1)]
    versions = [(title, page) for depth, title, page in found if depth == 2]
    assert versions == [
        (f"Level {level}", page)
        for at in range(1, 5)
        for level, page in enumerate(bound.begins[at], 1)
    ]
    sections = [(title, page) for depth, title, page in found if depth == 0]
    assert [title for title, _ in sections] == [
        READING, "Contents", "Tunes", FAILED, "Index by title", "Index by tuning", "Index by key",
        "Index by level", "Index by first shape",
    ]  # fmt: skip
    for title, page in sections:
        assert page is not None
        assert title == "Tunes" or title in pages[page - 1]
    assert file.metadata is not None
    assert file.metadata.title == "Tunes of the Hall"


@pytest.mark.parametrize(
    ("reason", "told"),
    [
        ("broken.abc, line 6: no note", "broken.abc, line 6: no note."),
        ("noise.musicxml: this is no music", "noise.musicxml: this is no music."),
        ("there is no melody", "There is no melody."),
    ],
)
def test_a_reason_begins_with_a_capital_unless_with_a_file(reason: str, told: str) -> None:
    assert _reason(Failure(None, reason), ()) == told


def test_what_could_not_be_made_is_told_with_reason_and_mends(tmp_path: Path) -> None:
    bind(some(tmp_path), tmp_path, "Tunes of the Hall")
    pages = [flat(text) for text in texts(tmp_path)]
    page = next(text for text in pages if text.startswith(FAILED))
    assert "1 tune in no version; 1 tune in some versions but not in all." in page
    assert (
        "Frost on the Allotments book.abc, tune 2 Song, levels 3 and 4: bar 7: F cannot be played. "
        "What would do: capo at 1: 3400 ms of hand work; nothing lost tune D-A-C"
    ) in page
    assert "Lost Gloves book.abc, tune 5 Line 3: no key is given." in page
    contents = next(text for text in pages if text.startswith("Contents"))
    assert "Lost Gloves" not in contents


def test_the_same_entries_give_the_same_bytes_without_date_or_number_of_its_own(
    tmp_path: Path,
) -> None:
    entries = some(tmp_path / "one")
    bind(entries, tmp_path / "one", "Tunes of the Hall")
    some(tmp_path / "two")
    bind(entries, tmp_path / "two", "Tunes of the Hall")
    one, two = ((tmp_path / name / BOOK).read_bytes() for name in ("one", "two"))
    assert one == two
    assert b"Date" not in one
    assert b"/ID" not in one.rpartition(b"trailer")[2]
    bind(entries, tmp_path / "two", "Tunes of the Other Hall")
    assert (tmp_path / "two" / BOOK).read_bytes() != one
    assert sorted(path.name for path in (tmp_path / "two").iterdir()) == [BOOK, "parts"]


@pytest.mark.parametrize("lost", ["nowhere", "disorder", "behind"])
def test_a_bookmark_that_leads_elsewhere_is_an_error_and_not_page_0(
    tmp_path: Path, lost: str
) -> None:
    from pypdf import PdfWriter
    from pypdf.generic import NameObject, NullObject

    entries = some(tmp_path)
    file = tmp_path / entries[0].pages
    writer = PdfWriter()
    pages = PdfReader(file).pages
    for page in pages:
        writer.add_page(page)
    for at in {"nowhere": (0, 1), "disorder": (1, 0), "behind": (1, 2)}[lost]:
        mark = writer.add_outline_item(title=f"Part {at}", page_number=at)
    if lost == "nowhere":
        gone: Any = mark.get_object()
        for key in ("/A", "/Dest"):
            gone.pop(key, None)
        gone[NameObject("/Dest")] = NullObject()
    writer.write(file)
    told = "its bookmarks do not lead to its versions in their order; delete it and make the book"
    with pytest.raises(SheetError, match=told):
        bind(entries, tmp_path, "Tunes of the Hall")
    assert not (tmp_path / BOOK).exists()


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


def test_a_book_in_which_nothing_came_out(tmp_path: Path) -> None:
    entries = [
        entry(at, title, [], failures=[Failure(None, "it has no chords")])
        for at, title in enumerate(TITLES, 1)
    ]
    bound = bind(entries, tmp_path, "Nothing Yet")
    pages = [flat(text) for text in texts(tmp_path)]
    assert bound == Bound(3, {})
    assert "No tune could be made." in pages[0]
    assert "What could not be made 3" in pages[1]
    assert all(title in pages[2] for title in TITLES)
    assert not any("Index" in page for page in pages)


def test_a_book_of_one_tune(tmp_path: Path) -> None:
    entries = drawn_one = [entry(1, "Harrow Lane")]
    drawn(tmp_path, drawn_one)
    bound = bind(entries, tmp_path, "Harrow Lane")
    pages = [flat(text) for text in texts(tmp_path)]
    assert bound == Bound(5, {1: (4,)})
    assert "1 tune for the fretted dulcimer" in pages[0]
    assert "Tuning D3-A3-D4" in pages[0]
    assert FAILED not in " ".join(pages)
    assert pages[4].count("Harrow Lane 4") == 4  # under title, tuning, key and shape
    assert "Harrow Lane 80 % 4" in pages[4]
    assert "Indexes by title, tuning, key, difficulty and first shape" in pages[4]


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


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        (lambda file: file.unlink(), "cannot be read"),
        (lambda file: file.write_bytes(b"no PDF"), "no whole PDF"),
        (lambda file: file.write_bytes(file.read_bytes()[:700]), "no whole PDF"),
        (lambda file: file.write_bytes(pdf_of([leaf("one")], title="")), "not the pages"),
        (
            lambda file: file.write_bytes(
                draw_tune([bundled("harrow-lane")] * 2, PageOptions(paper=LETTER))
            ),
            "not the pages",
        ),
    ],
    ids=["gone", "other", "half", "short", "paper"],
)
def test_a_tune_whose_pages_are_not_there_is_told_and_the_old_book_stays(
    tmp_path: Path, spoil: object, told: str
) -> None:
    entries = some(tmp_path)
    (tmp_path / BOOK).write_bytes(b"the old book")
    spoil(tmp_path / entries[2].pages)  # type: ignore[operator]
    with pytest.raises(SheetError, match=rf"parts/3\.pdf: .*{told}.*; delete it and make") as error:
        bind(entries, tmp_path, "Tunes of the Hall")
    assert "\n" not in str(error.value)
    assert (tmp_path / BOOK).read_bytes() == b"the old book"
    assert sorted(path.name for path in tmp_path.iterdir()) == [BOOK, "parts"]


def test_pages_of_other_paper_are_refused(tmp_path: Path) -> None:
    entries = some(tmp_path)
    with pytest.raises(SheetError, match="not the pages that were drawn"):
        bind(entries, tmp_path, "Tunes of the Hall", PageOptions(paper=LETTER))


def test_a_paged_file_refuses_more_and_fewer_pages_than_told() -> None:
    page = PdfReader(BytesIO(pdf_of([leaf("one")], title=""))).pages[0]
    file = PagedFile(BytesIO(), 1)
    with pytest.raises(ValueError, match="0 pages were added and 1 told"):
        file.finish("Title")
    file.add(page, {})
    with pytest.raises(ValueError, match="page 2 is one more"):
        file.add(page, {})
    with pytest.raises(ValueError, match="page 9 is not there"):
        file.finish("Title", [Mark("nowhere", 9)])


def test_a_tune_is_drawn_version_by_version_with_a_bookmark_each() -> None:
    made = [bundled("harrow-lane"), bundled("harrow-lane", "walking")]
    pdf = draw_tune(made, None, (1, 2))
    assert pdf == draw_tune(made, None, (1, 2))
    file = PdfReader(BytesIO(pdf))
    assert marks(file) == [(0, "Level 1", 1), (0, "Level 2", 3)]
    told = [flat(page.extract_text()) for page in file.pages]
    assert "Page 1 of" not in " ".join(told)
    assert CAUTION not in " ".join(told)
    plain = PdfReader(BytesIO(draw_tune(made[:1])))
    assert marks(plain) == [(0, "Song", 1)]
    assert "Level" not in plain.pages[0].extract_text()
    with pytest.raises(SheetError, match="no version"):
        draw_tune([])
    with pytest.raises(ValueError, match="2 versions do not go with 1 levels"):
        draw_tune(made, None, (1,))


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


@pytest.mark.slow
def test_a_book_of_five_hundred_tunes(tmp_path: Path) -> None:
    entries = [
        entry(at, f"The {at}th Evening at the Hall", level=at % 5 + 1, pages=1 + at % 3)
        for at in range(1, 501)
    ]
    drawn(tmp_path, entries)
    bound = bind(entries, tmp_path, "Five Hundred Evenings")
    pages = texts(tmp_path)
    assert len(pages) == bound.pages
    told = rows([text for text in pages if text.startswith("Contents")])
    for one in entries:
        page = bound.begins[one.number][0]
        assert told[one.title] == page
        assert one.title in flat(pages[page - 1])
        assert re.search(rf"\b{page}\b", pages[page - 1])


def test_the_blank_behind_a_sharp_or_flat_is_kept() -> None:
    """A drawing leaves out blanks at the beginning of a text, so they are made of room."""
    found = boxes(f'<svg xmlns="http://www.w3.org/2000/svg">{signed(0, 9, "F♯ minor", 10)}</svg>')
    sharp, mode = found[-2:]
    assert (sharp.text, mode.text) == ("♯", "minor")
    assert mode.left == pytest.approx(signed_width("F♯", 10) + width(" ", 10), abs=0.02)
