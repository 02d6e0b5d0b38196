"""What the page asks that needs no search: reading a tune, comparing, sound, files, kept works.

Each takes the store and the request's JSON and gives a plain value or a response.

Public: read_tune, opened, drawn, width_in, compared, sounded, sound_bars.
"""

import json
from typing import Any

from starlette.responses import Response

from solver.result import Arrangement
from undersong.desk.refused import Refusal
from undersong.desk.settings import read_source
from undersong.desk.store import Store
from undersong.desk.work import Work, source_in, work_out
from undersong.sheet.engraved.screen import NARROWEST, WIDEST
from undersong.sheet.json_node import Node
from undersong.sound.sound_options import SoundOptions


def read_tune(store: Store, asked: Node) -> dict[str, Any]:
    """What there is to know of a tune before it is arranged."""
    from undersong.desk.views.read import read_view

    del store
    asked.object("tune", "choose")
    return read_view(read_source(source_in(asked["tune"]), asked["choose"].maybe(Node.text)))


def opened(store: Store, asked: Node) -> dict[str, Any]:
    """A saved file, or an answer written by another command, drawn without a search.

    work: None for an answer that cannot be gone on with here; why says why."""
    from undersong.desk.keeping import saved_in
    from undersong.desk.taken_up import work_of
    from undersong.desk.views.answer import answer_view
    from undersong.desk.views.drawing import WIDTH
    from undersong.sheet.document import FORMAT

    work: Work | None = None
    document: str | None
    if isinstance(asked.value, dict) and asked.value.get("format") == FORMAT:
        document = json.dumps(asked.value)
    else:
        work, document = saved_in(asked)
    answer, why = None, None
    if document is not None:
        found = store.read(document)
        try:
            work = work or work_of(found)
        except Refusal as refused:
            why = refused.sentence
        answer = answer_view(found, seconds=0.0, page=store.drawn(found, WIDTH))
    return {"work": None if work is None else work_out(work), "answer": answer, "why": why}


def drawn(store: Store, asked: Node) -> dict[str, Any]:
    """An answer drawn as wide as the page has room for."""
    asked.object("document", "width")
    return {"page": store.drawn(store.read(asked["document"].text()), width_in(asked["width"]))}


def width_in(node: Node) -> int:
    """mm that a drawing is wide."""
    width = node.whole()
    if not NARROWEST <= width <= WIDEST:
        node.wrong(f"a width in mm from {NARROWEST:g} to {WIDEST:g}")
    return width


def compared(store: Store, asked: Node) -> dict[str, Any]:
    """Answers side by side."""
    from undersong.compare import MOST, side_by_side
    from undersong.desk.views.compare import compare_view

    asked.object("documents", "names")
    documents, names = asked["documents"].texts(), asked["names"].texts()
    if not 2 <= len(documents) <= MOST:
        raise Refusal(f"2 to {MOST} answers can be compared, not {len(documents)}")
    answers = [store.read(document) for document in documents]
    return {"compare": compare_view(asked.made(lambda: side_by_side(answers, names)))}


_SOUND = (
    "document", "percent", "count_in", "only_bass", "without_bass", "damped", "suffix",
)  # fmt: skip


def sounded(store: Store, asked: Node) -> Response:
    """The answer as sound."""
    from undersong.sound.files import ENCODINGS, sound_file
    from undersong.sound.render import render

    arrangement, options = _to_hear(store, asked)
    suffix = asked["suffix"].text()
    if suffix not in ENCODINGS:
        asked["suffix"].wrong(f"one of {', '.join(ENCODINGS)}")
    content = sound_file(render(arrangement, options), suffix)
    return Response(content, media_type="audio/wav" if suffix == ".wav" else "audio/*")


def sound_bars(store: Store, asked: Node) -> dict[str, Any]:
    """When each bar begins in it."""
    from undersong.desk.views.sound import sound_view

    return sound_view(*_to_hear(store, asked))


def _to_hear(store: Store, asked: Node) -> tuple[Arrangement, SoundOptions]:
    """What is to be heard, and how; the page says percent of the tempo, whole."""
    asked.object(*_SOUND)
    arrangement = store.read(asked["document"].text())
    only, without = asked["only_bass"].flag(), asked["without_bass"].flag()
    options = asked.made(
        lambda: SoundOptions(
            percent=asked["percent"].whole(1),
            count_in=asked["count_in"].whole(),
            only=0 if only else None,
            without=frozenset({0} if without else ()),
            damped=asked["damped"].flag(),
        )
    )
    return arrangement, options
