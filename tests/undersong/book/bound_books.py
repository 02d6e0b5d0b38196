"""Books for the tests of binding: entries of any titles, whose pages hold the title and no music,
so that many are drawn at once; and two tunes as they really are.

Public: part, entry, drawn, leaf, REAL, TITLES, some, real_entries, texts, flat.
"""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

from pypdf import PdfReader

from tests.undersong.arranged import bundled
from undersong.book.drawing import draw_tune
from undersong.book.entry import Entry, Failure, Part
from undersong.book.figures import part_of
from undersong.sheet.lettering import number, words, wrapped
from undersong.sheet.page_options import PageOptions
from undersong.sheet.paper import A4, Paper
from undersong.sheet.pdf import Bookmark, pdf_of

REAL = ("harrow-lane", "lantern-path")
TITLES = ("The Vicar's Piano", "Frost on the Allotments", "Kettle On at Nine", "Éirí na Gréine")


def part(title: str = "Harrow Lane", **other: Any) -> Part:
    usual: dict[str, Any] = {
        "level": None, "texture": "song", "title": title, "key": "D major",
        "tuning": "D3 A3 D4", "capo": "0", "cost": 5000, "proven": True, "gap": 0, "hardest": 80,
        "hardest_bar": "7", "median": 60, "shapes": 9, "first_shape": "0-0-2 T",
        "file": "parts/some.json",
    }  # fmt: skip
    return Part(**{**usual, **other})


def entry(
    number: int,
    title: str,
    parts: Sequence[Part] | None = None,
    *,
    failures: Sequence[Failure] = (),
    pages: int = 0,
    **of_the_part: Any,
) -> Entry:
    """A tune with that many pages, of a page a part where nothing is said; no parts: no pages."""
    parts = (part(title, **of_the_part),) if parts is None else tuple(parts)
    many = (pages or len(parts)) if parts else 0
    file = f"parts/{number}.pdf" if many else ""
    return Entry(number, title, f"book.abc, tune {number}", parts, tuple(failures), file, many)


def leaf(title: str, paper: Paper = A4) -> str:
    """A page with nothing but the title, in lines that fit."""
    lines = wrapped(title, paper.room_mm[0], 5.0)
    drawn = "".join(words(12, 30 + 7 * at, line, 5.0) for at, line in enumerate(lines))
    wide, high = number(paper.width_mm), number(paper.height_mm)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" '
        f'viewBox="0 0 {wide} {high}">{drawn}</svg>'
    )


def drawn(folder: Path, entries: Sequence[Entry], options: PageOptions | None = None) -> Path:
    """The entries' pages, in the folder: the first pages of a tune belong to one part each, all
    further ones to the last."""
    (folder / "parts").mkdir(parents=True, exist_ok=True)
    paper = (options or PageOptions()).paper
    for one in entries:
        if one.pages:
            marks = [Bookmark(f"Part {at}", at) for at in range(len(one.parts))]
            pdf = pdf_of([leaf(one.title, paper)] * one.page_count, title="", bookmarks=marks)
            (folder / one.pages).write_bytes(pdf)
    return folder


@cache
def _real(name: str) -> tuple[bytes, tuple[Part, ...]]:
    manners = ("alternating", "walking") if name == "harrow-lane" else ("alternating",)
    made = [bundled(name, manner) for manner in manners]
    parts = tuple(part_of(one, at, f"parts/{at}.json") for at, one in enumerate(made, 1))
    return draw_tune(made, None, tuple(range(1, len(made) + 1))), parts


def real_entries(folder: Path, names: Sequence[str]) -> list[Entry]:
    """Bundled tunes, their pages in the folder: Harrow Lane in two versions, called levels 1 and 2,
    others in one, called level 1."""
    (folder / "parts").mkdir(parents=True, exist_ok=True)
    found = []
    for at, name in enumerate(names, 1):
        pdf, parts = _real(name)
        (folder / f"parts/{name}.pdf").write_bytes(pdf)
        count = len(PdfReader(BytesIO(pdf)).pages)
        found.append(Entry(at, parts[0].title, name, parts, (), f"parts/{name}.pdf", count))
    return found


def texts(folder: Path) -> list[str]:
    """What stands on each page of the book, its lines as they are."""
    return [page.extract_text() for page in PdfReader(folder / "book.pdf").pages]


def flat(text: str) -> str:
    """White space made even."""
    return " ".join(text.split())


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
