"""Books read back with pypdf: contents, page numbers, links, bookmarks and bytes; with another
reader too where the system has one."""

import re
import shutil
import subprocess
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PageObject, PdfReader

from fretboard.hand import CAUTION
from tests.undersong.arranged import bundled
from tests.undersong.book.bound_books import (
    REAL,
    TITLES,
    drawn,
    entry,
    flat,
    real_entries,
    some,
    texts,
)
from undersong.book.binding import BOOK, bind
from undersong.book.bound import Bound
from undersong.book.drawing import draw_tune
from undersong.book.front import READING
from undersong.book.matter import FAILED
from undersong.sheet.errors import SheetError


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
