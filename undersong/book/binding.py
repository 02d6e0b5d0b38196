"""A book out of its tunes' pages: title page, how it is read, contents, tunes, indexes, one PDF.

The tunes' pages are read from their own files, one after another, and get the book's page numbers
at their feet. Page 1 is the title page, so that a number on paper is the number on a screen. The
same entries and files give the same bytes.

Public: bind, BOOK.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from undersong.book.bound import Bound, turns
from undersong.book.columns import Sheet, page_svg, set_pages
from undersong.book.drawing import version_name
from undersong.book.entry import Entry
from undersong.book.feet import Feet, Foot, has_room
from undersong.book.front import reading_of, title_page
from undersong.book.indexes import INDEX_BY
from undersong.book.look import look_for
from undersong.book.matter import contents_of, failures_of, index_sections
from undersong.book.paged import Mark, PagedFile
from undersong.book.words import shown
from undersong.sheet.errors import SheetError
from undersong.sheet.lettering import POINT
from undersong.sheet.page_options import PageOptions
from undersong.wording import listed

if TYPE_CHECKING:
    from pypdf import PdfReader

BOOK = "book.pdf"
"""What the file is called in the book's folder."""

TUNES = "Tunes"

EMPTY = "Left empty so that the next tune lies open"
"""At the foot of a page before a tune that would else be turned in its midst."""

_REMADE = "delete it and make the book again"
"""What mends a tune's file that is not what was drawn."""


_ROUNDS = 12
"""So often the pages are set with the numbers that they had the time before: the second time they
stand, but where a number's further digit takes a line more. More pages make no number smaller."""


@dataclass(frozen=True)
class _Plan:
    """title: the book's; options; entries; bound; front, back: pages before the first tune but for
    the title page, and behind the last."""

    title: str
    options: PageOptions
    entries: tuple[Entry, ...]
    bound: Bound
    front: tuple[Sheet, ...]
    back: tuple[Sheet, ...]

    @property
    def drawn(self) -> Iterator[Entry]:
        """Those that have pages."""
        return (entry for entry in self.entries if entry.pages)

    @property
    def behind(self) -> int:
        """The first page behind the tunes, from 1."""
        return self.bound.pages - len(self.back) + 1


def bind(
    entries: Sequence[Entry], folder: Path, title: str, options: PageOptions | None = None
) -> Bound:
    """Writes ``book.pdf`` into the folder, all or nothing, and says where everything stands in it.

    entries: in the book's order, with their files in the folder; options: the paper and how large
    print is. Raises SheetError, one sentence, where a file of a tune is missing or is not the one
    that was drawn, where the system lacks what pages are drawn with, and where the book cannot be
    written.
    """
    from undersong.sheet.write import put_stream

    plan = _plan(tuple(entries), folder, title, options or PageOptions())
    put_stream(folder / BOOK, lambda out: _write(plan, folder, out))
    return plan.bound


def _plan(entries: tuple[Entry, ...], folder: Path, title: str, options: PageOptions) -> _Plan:
    look = look_for(options)
    reading = reading_of(entries, options, look)
    starts = {entry.number: _starts(entry, folder, options) for entry in entries if entry.pages}
    failures = failures_of(entries, look)

    def front(bound: Bound, behind: Mapping[str, int]) -> tuple[Sheet, ...]:
        contents = contents_of(entries, bound, behind, look)
        return set_pages([reading, contents] if starts else [contents], look)

    def back(bound: Bound) -> tuple[Sheet, ...]:
        return set_pages([*failures, *index_sections(entries, bound, look)], look)

    # page numbers take room, and how many pages there are decides how wide they are
    pages = 0, 0
    for _ in range(_ROUNDS):
        bound = _bound(entries, starts, 2 + pages[0], pages[1])
        last = back(bound)
        first = front(bound, _begun(last, bound.pages - pages[1] + 1))
        if (len(first), len(last)) == pages:
            break
        pages = len(first), len(last)
    else:
        raise SheetError(f"the pages of {title} came out otherwise than counted (please report it)")
    return _Plan(title, options, entries, bound, first, last)


def _bound(
    entries: Sequence[Entry], starts: Mapping[int, Sequence[int]], page: int, last: int
) -> Bound:
    """page: of the first tune; last: how many pages stand behind the tunes."""
    begins: dict[int, tuple[int, ...]] = {}
    empty: set[int] = set()
    for entry in entries:
        if entry.pages:
            own, later = (
                tuple(first + start for start in starts[entry.number]) for first in (page, page + 1)
            )
            count = entry.page_count
            if turns(later, page + 1 + count) < turns(own, page + count):
                empty.add(page)
                own, page = later, page + 1
            begins[entry.number] = own
            page += count
    return Bound(page - 1 + last, begins, frozenset(empty))


def _begun(sheets: Sequence[Sheet], page: int) -> dict[str, int]:
    """The page that each section begins on; page: that of the first sheet."""
    return {title: page + at for at, sheet in enumerate(sheets) for title in sheet.begun}


def _reader(entry: Entry, folder: Path, options: PageOptions) -> PdfReader:
    """The tune's file; SheetError where it is not what was drawn."""
    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    path = folder / entry.pages
    try:
        reader = PdfReader(BytesIO(path.read_bytes()))
        pages = len(reader.pages)
        marks = len(reader.outline)
        size = tuple(map(float, reader.pages[0].mediabox[2:])) if pages else ()
    except OSError as error:
        why = error.strerror or error
        raise SheetError(f"{path}: the tune's pages cannot be read ({why}); {_REMADE}") from None
    except (PyPdfError, ValueError, KeyError, TypeError, AttributeError):
        raise SheetError(f"{path}: the tune's pages are no whole PDF; {_REMADE}") from None
    paper = options.paper
    asked = (paper.width_mm / POINT, paper.height_mm / POINT)
    fits = all(abs(one - other) < 1 for one, other in zip(size, asked, strict=False))
    if pages != entry.page_count or marks != len(entry.parts) or not fits:
        raise SheetError(f"{path}: these are not the pages that were drawn; {_REMADE}")
    return reader


def _starts(entry: Entry, folder: Path, options: PageOptions) -> tuple[int, ...]:
    """The page, from 0, on which each of the tune's parts begins."""
    reader = _reader(entry, folder, options)
    found = [reader.get_destination_page_number(mark) for mark in reader.outline]  # type: ignore[arg-type]
    starts = tuple(page for page in found if page is not None)
    if len(starts) < len(found) or starts[:1] != (0,) or list(starts) != sorted(set(starts)):
        raise SheetError(
            f"{folder / entry.pages}: its bookmarks do not lead to its versions in their order; "
            f"{_REMADE}"
        )
    return starts


def _write(plan: _Plan, folder: Path, out: BinaryIO) -> None:
    feet = Feet(tuple(_feet(plan)), plan.title, plan.options)
    file = PagedFile(out, plan.bound.pages)
    at = 0

    def add(reader: PdfReader, sheet: Sheet | None = None) -> None:
        nonlocal at
        copied: dict[int, int] = {}
        for page in reader.pages:
            foot = feet[at]
            file.add(page, copied, foot, feet.copied, sheet.links if sheet else ())
            at += 1

    add(_matter(title_page(plan.entries, plan.title, look_for(plan.options))))
    for sheet in plan.front:
        add(_matter(sheet.svg), sheet)
    for entry in plan.drawn:
        if at + 1 in plan.bound.empty:
            add(_matter(page_svg(plan.options.paper, ())))
        add(_reader(entry, folder, plan.options))
    for sheet in plan.back:
        add(_matter(sheet.svg), sheet)
    file.finish(plan.title, tuple(_marks(plan)))


def _matter(svg: str) -> PdfReader:
    from pypdf import PdfReader

    from undersong.sheet.pdf import pdf_of

    return PdfReader(BytesIO(pdf_of([svg], title="")))


def _feet(plan: _Plan) -> Iterator[Foot]:
    """One for each page of the book; the title page has none."""
    yield Foot("", 0)
    number = 2
    for sheet in plan.front:
        yield Foot(_together(sheet.titles, plan.options), number)
        number += 1
    for entry in plan.drawn:
        if number in plan.bound.empty:
            yield Foot(EMPTY, number)
            number += 1
        for running in _running(entry, plan.bound.begins[entry.number]):
            yield Foot(running, number)
            number += 1
    for sheet in plan.back:
        yield Foot(_together(sheet.titles, plan.options), number)
        number += 1


def _together(titles: Sequence[str], options: PageOptions) -> str:
    """What stands at the foot of a page with these sections: as much of it as has room whole."""
    names = [title.removeprefix(INDEX_BY) for title in titles if title.startswith(INDEX_BY)]
    others = [title for title in titles if not title.startswith(INDEX_BY)]
    if not names:
        return ", ".join(others)
    indexes = "Indexes by" if len(names) > 1 else INDEX_BY.strip()
    told = [f"{indexes} {listed(names)}", "Indexes" if len(names) > 1 else "Index"]
    whole = [", ".join([*others, each]) for each in told]
    return next((each for each in whole if has_room(each, options)), whole[-1])


def _running(entry: Entry, begins: Sequence[int]) -> Iterator[str]:
    """What stands at the foot of each of the tune's pages: its title, which of several versions,
    and which of several pages of that."""
    ends = [*begins[1:], begins[0] + entry.page_count]
    for name, begin, end in zip(_versions(entry), begins, ends, strict=True):
        title = shown(entry.title)
        several = len(begins) > 1 or entry.parts[0].level is not None
        told = f"{title}: {name[:1].lower()}{name[1:]}" if several else title
        many = end - begin
        for page in range(1, many + 1):
            yield f"{told} ({page} of {many})" if many > 1 else told


def _versions(entry: Entry) -> tuple[str, ...]:
    """What each of its versions is called, told from the others."""
    several = len({part.texture for part in entry.parts}) > 1
    return tuple(version_name(part.level, part.texture, several) for part in entry.parts)


def _marks(plan: _Plan) -> Iterator[Mark]:
    yield from (Mark(title, page) for title, page in _begun(plan.front, 2).items())
    tunes = []
    for entry in plan.drawn:
        begins = plan.bound.begins[entry.number]
        versions = tuple(
            Mark(name, page) for name, page in zip(_versions(entry), begins, strict=True)
        )
        tunes.append(
            Mark(shown(entry.title), begins[0], versions if len(versions) > 1 else (), folded=True)
        )
    if tunes:
        yield Mark(TUNES, tunes[0].page, tuple(tunes))
    yield from (Mark(title, page) for title, page in _begun(plan.back, plan.behind).items())
