"""Files for the player to keep: an answer in any format, shapes, a practice plan, a handout.

Public: filed, handout.
"""

from starlette.responses import Response

from solver.result import Arrangement
from undersong.desk.questions import for_levels
from undersong.desk.refused import Refusal
from undersong.desk.settings import begun
from undersong.desk.store import Store
from undersong.desk.work import work_in
from undersong.file_names import plain_name
from undersong.sheet.json_node import Node
from undersong.sheet.options import SheetOptions
from undersong.sheet.paper import Paper, paper
from undersong.sheet.write import FORMATS, content_of

_MEDIA = {
    ".txt": "text/plain; charset=utf-8",
    ".pdf": "application/pdf",
    ".svg": "image/svg+xml",
    ".json": "application/json",
    ".musicxml": "application/vnd.recordare.musicxml+xml",
    ".csv": "text/csv; charset=utf-8",
    ".wav": "audio/wav",
    ".flac": "audio/flac",
    ".mp3": "audio/mpeg",
    ".ogg": "audio/ogg",
    ".mid": "audio/midi",
}
"""Suffix → media type. From memory; a browser goes by the file's name, which comes with it."""

_FILE = ("document", "suffix", "paper", "landscape", "large", "contrast", "what")
_WHAT = ("page", "shapes", "practice")


def filed(store: Store, asked: Node) -> Response:
    """The answer as a file. Raises Refusal or SheetError."""
    asked.object(*_FILE)
    arrangement, suffix = store.read(asked["document"].text()), asked["suffix"].text()
    what = asked["what"].text()
    if what not in _WHAT:
        asked["what"].wrong(f"one of {', '.join(_WHAT)}")
    if suffix not in FORMATS:
        asked["suffix"].wrong(f"one of {', '.join(FORMATS)}")
    look = _Look(asked)
    make = {"page": _page, "shapes": _shapes, "practice": _practice}[what]
    title = arrangement.tune.title if what == "page" else f"{arrangement.tune.title} {what}"
    return _download(make(arrangement, suffix, look), title, suffix)


def handout(store: Store, asked: Node) -> Response:
    """The levels that were made last of that work, in one PDF, with a first page that says what
    each teaches."""
    from undersong.sheet.handout import HandoutOptions, handout_pdf

    asked.object("work", "paper", "large")
    look, _ = for_levels(begun(work_in(asked["work"])))
    found = store.levels(look)
    if found is None:
        raise Refusal("make the levels first; the handout prints those that were made", status=409)
    if not found.met:
        raise Refusal(f"no level can be met: {found.made[0].why}")
    sheet = paper(asked["paper"].text())
    made = handout_pdf(found, HandoutOptions(paper=sheet, large=asked["large"].flag()))
    return _download(made, f"{look.tune.title} levels", ".pdf")


class _Look:
    """How pages are to look."""

    def __init__(self, asked: Node) -> None:
        self.paper: Paper = paper(asked["paper"].text(), asked["landscape"].flag())
        self.large, self.contrast = asked["large"].flag(), asked["contrast"].flag()


def _page(arrangement: Arrangement, suffix: str, look: _Look) -> bytes:
    from undersong.sheet.engraved import page_pdf, page_svg
    from undersong.sheet.page_options import PageOptions

    if suffix not in (".pdf", ".svg"):
        return content_of(arrangement, suffix, SheetOptions())
    make = page_pdf if suffix == ".pdf" else page_svg
    return make(arrangement, PageOptions(look.paper, large=look.large, contrast=look.contrast))


def _shapes(arrangement: Arrangement, suffix: str, look: _Look) -> bytes:
    from undersong.sheet.boxes import DiagramOptions, shapes_pdf, shapes_svg

    if suffix not in (".pdf", ".svg"):
        raise Refusal("shapes are drawn: choose .pdf or .svg", "suffix")
    make = shapes_pdf if suffix == ".pdf" else shapes_svg
    return make(
        arrangement, DiagramOptions(paper=look.paper, large=look.large, contrast=look.contrast)
    )


def _practice(arrangement: Arrangement, suffix: str, look: _Look) -> bytes:
    from undersong.practice import Wishes, plan_for, practice_pdf
    from undersong.practice.pages import PageLook
    from undersong.practice.sound import practice_sound
    from undersong.practice.text import practice_text
    from undersong.sound.files import ENCODINGS, sound_file

    plan = plan_for(arrangement, Wishes())
    if suffix == ".pdf":
        return practice_pdf(plan, PageLook(look.paper, SheetOptions(), look.large, look.contrast))
    if suffix == ".txt":
        return practice_text(plan, SheetOptions()).encode()
    if suffix in ENCODINGS:
        return sound_file(practice_sound(plan), suffix)
    raise Refusal("a practice plan is a page (.pdf, .txt) or sound to play along with", "suffix")


def _download(content: bytes, title: str, suffix: str) -> Response:
    """The file under a plain name made of the title."""
    name = f"{plain_name(title, 60)}{suffix}"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=_MEDIA[suffix], headers=headers)
