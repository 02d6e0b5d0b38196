"""One PDF written page by page, so that a long book takes no more memory than a short one.

Pages come out of other PDFs, drawn before; what they are made of is copied as it stands, under new
numbers, and forgotten. A page may get a foot, drawn over it, and rectangles that lead to other
pages. Nothing of when or where the file was made is kept.

Public: PagedFile, Link, Mark.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, BinaryIO

from pypdf import PageObject
from pypdf.generic import (
    ArrayObject,
    BooleanObject,
    DecodedStreamObject,
    DictionaryObject,
    FloatObject,
    IndirectObject,
    NameObject,
    NullObject,
    NumberObject,
    PdfObject,
    StreamObject,
    TextStringObject,
)

_CATALOG, _TREE, _INFO, _BEFORE, _AFTER = 1, 2, 3, 4, 5
_FIRST_PAGE = 6
"""Numbers of objects; the pages follow one another from there on."""

_KEPT = ("/MediaBox", "/Group")
"""What a page keeps besides its drawing and what that needs."""

_FOOT = "/UndersongFoot"


@dataclass(frozen=True)
class Link:
    """box: left, bottom, right, top in points from the page's lower left corner; page: where it
    leads, from 1."""

    box: tuple[float, float, float, float]
    page: int


@dataclass(frozen=True)
class Mark:
    """A bookmark. title: what a reader clicks; page: where it leads, from 1; within: bookmarks
    below it, folded away at first where ``folded``, as are those below them."""

    title: str
    page: int
    within: tuple[Mark, ...] = ()
    folded: bool = False


class PagedFile:
    """out: an empty file that can be written and told; pages: how many there will be."""

    def __init__(self, out: BinaryIO, pages: int) -> None:
        if pages < 1:
            raise ValueError("a PDF needs at least one page")
        self._out, self._pages, self._added = out, pages, 0
        self._offsets: dict[int, int] = {}
        self._next = _FIRST_PAGE + pages
        out.write(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
        for number, drawn in ((_BEFORE, b"q\n"), (_AFTER, f"\nQ\nq {_FOOT} Do Q\n".encode())):
            stream = DecodedStreamObject()
            stream.set_data(drawn)
            self._put(number, stream)

    def add(
        self,
        page: PageObject,
        copied: dict[int, int],
        foot: PageObject | None = None,
        foot_copied: dict[int, int] | None = None,
        links: Sequence[Link] = (),
    ) -> None:
        """The next page. copied: begins empty for every PDF that pages come from, and is handed in
        again with its later pages, for what they share; foot: a page of the same size whose drawing
        is laid over this one, foot_copied: the same for its PDF; links: on this page."""
        if self._added == self._pages:
            raise ValueError(f"page {self._added + 1} is one more than was told")
        made = DictionaryObject({NameObject("/Type"): NameObject("/Page")})
        made[NameObject("/Parent")] = _ref(_TREE)
        for key in _KEPT:
            if key in page:
                made[NameObject(key)] = self._copy(page.raw_get(key), copied)
        drawing = self._copy(page.raw_get("/Contents"), copied)
        resources = self._copy(page["/Resources"], copied)
        if foot is not None:
            drawing = ArrayObject([_ref(_BEFORE), drawing, _ref(_AFTER)])
            needed: Any = page["/Resources"]
            forms = self._copy(needed.get("/XObject", DictionaryObject()), copied)
            forms[NameObject(_FOOT)] = self._form(foot, {} if foot_copied is None else foot_copied)
            resources[NameObject("/XObject")] = forms
        made[NameObject("/Contents")] = drawing
        made[NameObject("/Resources")] = resources
        if links:
            made[NameObject("/Annots")] = ArrayObject([self._link(link) for link in links])
        self._put(_FIRST_PAGE + self._added, made)
        self._added += 1

    def finish(self, title: str, marks: Sequence[Mark] = (), language: str = "en") -> None:
        """Everything that is no page. Raises ValueError where pages are missing."""
        if self._added != self._pages:
            raise ValueError(f"{self._added} pages were added and {self._pages} told")
        kids = ArrayObject([_ref(_FIRST_PAGE + at) for at in range(self._pages)])
        tree = {"/Type": NameObject("/Pages"), "/Count": NumberObject(self._pages), "/Kids": kids}
        self._put(_TREE, _dictionary(tree))
        self._put(_INFO, _dictionary({"/Title": _text(title), "/Producer": _text("Undersong")}))
        catalog: dict[str, Any] = {
            "/Type": NameObject("/Catalog"),
            "/Pages": _ref(_TREE),
            "/Lang": _text(language),
            "/ViewerPreferences": _dictionary({"/DisplayDocTitle": BooleanObject(True)}),
        }
        if marks:
            catalog |= {"/PageMode": NameObject("/UseOutlines"), "/Outlines": self._outline(marks)}
        self._put(_CATALOG, _dictionary(catalog))
        self._end()

    def _end(self) -> None:
        start = self._out.tell()
        lines = ["xref", f"0 {self._next}", "0000000000 65535 f "]
        lines += [f"{self._offsets[number]:010d} 00000 n " for number in range(1, self._next)]
        lines += [
            f"trailer\n<< /Size {self._next} /Root {_CATALOG} 0 R /Info {_INFO} 0 R >>",
            f"startxref\n{start}\n%%EOF\n",
        ]
        self._out.write("\n".join(lines).encode("ascii"))

    def _put(self, number: int, what: PdfObject) -> None:
        self._offsets[number] = self._out.tell()
        self._out.write(f"{number} 0 obj\n".encode("ascii"))
        what.write_to_stream(self._out)
        self._out.write(b"\nendobj\n")

    def _new(self) -> int:
        self._next += 1
        return self._next - 1

    def _copy(self, what: Any, copied: dict[int, int]) -> Any:
        """The same under new numbers; whatever it refers to is written on the way."""
        if isinstance(what, IndirectObject):
            if what.idnum not in copied:
                copied[what.idnum] = number = self._new()
                self._put(number, self._copy(what.get_object(), copied))
            return _ref(copied[what.idnum])
        if isinstance(what, DictionaryObject):
            made = self._blank(what)
            for key in what:
                made[key] = self._copy(what.raw_get(key), copied)
            return made
        if isinstance(what, ArrayObject):
            return ArrayObject(self._copy(one, copied) for one in what)
        return what

    def _blank(self, what: DictionaryObject) -> Any:
        """A dictionary without entries; a stream keeps its bytes as they are, packed."""
        if not isinstance(what, StreamObject):
            return DictionaryObject()
        made = StreamObject()
        made._data = what._data
        return made

    def _form(self, foot: PageObject, copied: dict[int, int]) -> IndirectObject:
        """The foot's drawing as something that a page may show."""
        drawn: Any = foot["/Contents"]
        form = self._blank(drawn)
        for key in drawn:
            if key != "/Length":
                form[key] = self._copy(drawn.raw_get(key), copied)
        form[NameObject("/Type")] = NameObject("/XObject")
        form[NameObject("/Subtype")] = NameObject("/Form")
        form[NameObject("/BBox")] = foot["/MediaBox"]
        form[NameObject("/Resources")] = self._copy(foot["/Resources"], copied)
        number = self._new()
        self._put(number, form)
        return _ref(number)

    def _link(self, link: Link) -> DictionaryObject:
        return _dictionary(
            {
                "/Type": NameObject("/Annot"),
                "/Subtype": NameObject("/Link"),
                "/Border": ArrayObject([NumberObject(0)] * 3),
                "/Rect": ArrayObject([FloatObject(f"{value:.2f}") for value in link.box]),
                "/Dest": self._place(link.page),
            }
        )

    def _place(self, page: int) -> PdfObject:
        """A page's upper end, as wide as it is shown now."""
        if not 1 <= page <= self._pages:
            raise ValueError(f"page {page} is not there")
        kept = [NullObject()] * 3
        return ArrayObject([_ref(_FIRST_PAGE + page - 1), NameObject("/XYZ"), *kept])

    def _outline(self, marks: Sequence[Mark]) -> IndirectObject:
        root = self._new()
        shown = NumberObject(sum(1 + _shown(mark) for mark in marks))
        entries = {"/Type": NameObject("/Outlines"), "/Count": shown}
        self._put(root, _dictionary(entries | self._items(marks, root)))
        return _ref(root)

    def _items(self, marks: Sequence[Mark], parent: int) -> dict[str, Any]:
        """Writes bookmarks that stand beside one another; their first and last, as entries."""
        numbers = [self._new() for _ in marks]
        for at, mark in enumerate(marks):
            entries = {"/Title": _text(mark.title), "/Parent": _ref(parent)}
            entries["/Dest"] = self._place(mark.page)
            if at:
                entries["/Prev"] = _ref(numbers[at - 1])
            if at + 1 < len(marks):
                entries["/Next"] = _ref(numbers[at + 1])
            if mark.within:
                count = -len(mark.within) if mark.folded else _shown(mark)
                entries |= self._items(mark.within, numbers[at])
                entries["/Count"] = NumberObject(count)
            self._put(numbers[at], _dictionary(entries))
        return {"/First": _ref(numbers[0]), "/Last": _ref(numbers[-1])}


def _shown(mark: Mark) -> int:
    """How many bookmarks below it are open to see."""
    return 0 if mark.folded else sum(1 + _shown(one) for one in mark.within)


def _ref(number: int) -> IndirectObject:
    return IndirectObject(number, 0, None)


def _text(words: str) -> PdfObject:
    return TextStringObject(words)


def _dictionary(entries: Mapping[str, Any]) -> DictionaryObject:
    return DictionaryObject({NameObject(key): value for key, value in entries.items()})
