"""What goes wrong with a book: tunes that could not be made are told in it, and pages that are not
those that were drawn leave the old book as it is."""

from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from tests.undersong.arranged import bundled
from tests.undersong.book.bound_books import TITLES, entry, flat, leaf, some, texts
from undersong.book.binding import BOOK, bind
from undersong.book.bound import Bound
from undersong.book.drawing import draw_tune
from undersong.book.entry import Failure
from undersong.book.matter import FAILED, _reason
from undersong.book.paged import Mark, PagedFile
from undersong.sheet.errors import SheetError
from undersong.sheet.page_options import PageOptions
from undersong.sheet.paper import LETTER
from undersong.sheet.pdf import pdf_of


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
