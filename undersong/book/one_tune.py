"""One tune of a book, from its own text to its files: what a worker does, wherever it runs.

Everything comes with the task and goes back with what was made, so that a worker needs no folder
in common with anybody. CP-SAT has one thread, as it always has here.

Public: TuneTask, Made, Kept, Told, one_tune, OtherProgram.
"""

import time
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from io import BytesIO

from solver.errors import ArrangeError
from solver.result import Arrangement
from solver.watch import Watch
from tune.errors import TuneError
from tune.tune import Tune
from undersong.book.asked import Answered, answered, fault_of_ours
from undersong.book.entry import Entry, Failure, Part
from undersong.book.figures import part_of
from undersong.book.fingerprint import program
from undersong.book.settings import Asking, Settings
from undersong.book.source import Source, names_a_line

PARTS = "parts"
"""The folder of the parts, in the book's own."""


class OtherProgram(RuntimeError):  # noqa: N818  what it is
    """The worker's program is not the one that the book is made with."""


@dataclass(frozen=True)
class Told:
    """What became of one asking. name: the asking's; parts, failures: of the entry; timed: another
    run might come further, since the time was up."""

    name: str
    parts: tuple[Part, ...]
    failures: tuple[Failure, ...]
    timed: bool


@dataclass(frozen=True)
class Kept:
    """What an earlier run made of one asking, to be drawn anew; documents: the JSON documents of
    its parts, in their order."""

    told: Told
    documents: tuple[bytes, ...]


@dataclass(frozen=True)
class TuneTask:
    """source: the tune; settings: the book's; program: the fingerprint of the program that is to
    do it, empty where the worker was started by that very program; kept: by the asking's name, what
    need not be solved again."""

    source: Source
    settings: Settings
    program: str
    kept: Mapping[str, Kept] = field(default_factory=dict)


@dataclass(frozen=True)
class Made:
    """entry: its number is 1, whatever the tune's place in the book; files: names relative to the
    book's folder, and their bytes; told: by asking; named: whether the source's line stands in a
    complaint; lasting: whether it is worth keeping, since the same would come out again; seconds:
    what it took, by the worker's clock."""

    entry: Entry
    files: Mapping[str, bytes]
    told: tuple[Told, ...] = ()
    named: bool = False
    lasting: bool = True
    seconds: float = 0.0


def one_tune(task: TuneTask) -> Made:
    """The tune's files and entry; what goes wrong with it is a failure in its entry.

    Raises OtherProgram.
    """
    if task.program not in ("", program()):
        raise OtherProgram(
            "a worker runs another version of this program, or beside other packages"
        )
    begun = time.perf_counter()
    source = task.source
    try:
        tune = _tune(source, task.settings)
    except TuneError as error:
        made = Made(_failed(source, Failure(None, str(error))), {}, named=True)
    except Exception as error:
        made = Made(_failed(source, fault_of_ours(error)), {}, lasting=False)
    else:
        try:
            made = _made(tune, task)
        except Exception as error:  # whatever it is, it is this tune's alone and ends no book
            made = Made(_failed(source, fault_of_ours(error)), {}, lasting=False)
    return replace(made, seconds=time.perf_counter() - begun)


def _failed(source: Source, failure: Failure) -> Entry:
    return Entry(1, source.title, source.shown, failures=(failure,))


def _tune(source: Source, settings: Settings) -> Tune:
    """The tune as asked for, its chords and key too; TuneError."""
    from undersong.chords import MAKERS

    tune = source.read()
    if settings.chords == "drone" or (settings.chords == "proposed" and not tune.has_chords):
        notices = tune.notices
        tune = replace(MAKERS[settings.chords](tune), notices=notices)
    return tune.transposed(settings.transpose) if settings.transpose else tune


def _made(tune: Tune, task: TuneTask) -> Made:
    files: dict[str, bytes] = {}
    told: list[Told] = []
    arrangements: list[Arrangement] = []
    lasting = True
    for asking in task.settings.askings:
        one = _one(tune, asking, task)
        lasting = lasting and one.lasting
        told.append(one.told)
        arrangements += one.arrangements
        names = (part.file for part in one.told.parts)
        files |= dict(zip(names, one.documents, strict=True))
    parts = tuple(part for one in told for part in one.parts)
    failures = [failure for one in told for failure in one.failures]
    pages, count = "", 0
    if arrangements:
        try:
            pdf = _drawn(arrangements, parts, task.settings)
            pages, count = f"{PARTS}/{task.source.name}.pdf", _pages_in(pdf)
            files[pages] = pdf
        except ValueError as error:  # it may be what this machine lacks: tried again next time
            failures.append(Failure(None, f"its pages cannot be drawn: {error}"))
            lasting = False
        except Exception as error:
            failures.append(fault_of_ours(error))
            lasting = False
    notices = tuple(dict.fromkeys(tune.notices))
    entry = Entry(1, tune.title, task.source.shown, parts, tuple(failures), pages, count, notices)
    return Made(entry, files, tuple(told), names_a_line(notices), lasting)


@dataclass(frozen=True)
class _One:
    """One asking's: what became of it; its parts' documents and arrangements; lasting: whether the
    same would come out again."""

    told: Told
    documents: tuple[bytes, ...] = ()
    arrangements: tuple[Arrangement, ...] = ()
    lasting: bool = True


def _one(tune: Tune, asking: Asking, task: TuneTask) -> _One:
    """What an earlier run kept of the asking, or what comes of it now; a fault of ours leaves the
    tune's other askings as they are."""
    try:
        kept = task.kept.get(asking.name)
        found = None if kept is None else _read_back(kept)
        if kept is not None and found is not None:  # of a failure it is nothing, which is kept too
            return _One(kept.told, kept.documents, found)
        watch = Watch(seconds=task.settings.seconds)  # its own: what was kept hangs on no other
        result = answered(tune, asking, task.source, task.settings, watch)
        told, documents = _told(result, asking, task.source)
        drawn = tuple(arrangement for _, arrangement in result.arrangements)
        return _One(told, documents, drawn, result.lasting)
    except Exception as error:
        failure = fault_of_ours(error, asking.name)
        return _One(Told(asking.name, (), (failure,), timed=False), lasting=False)


def _told(result: Answered, asking: Asking, source: Source) -> tuple[Told, tuple[bytes, ...]]:
    """The asking's parts and failures, and the parts' documents."""
    from undersong.sheet.document import json_bytes
    from undersong.sheet.options import SheetOptions

    parts, documents = [], []
    for level, arrangement in result.arrangements:
        name = f"{source.name}-{asking.name}{'' if level is None else f'-level-{level}'}"
        file = f"{PARTS}/{name}.json"
        parts.append(part_of(arrangement, level, file))
        documents.append(json_bytes(arrangement, SheetOptions()))
    told = Told(asking.name, tuple(parts), result.failures, result.timed)
    return told, tuple(documents)


def _read_back(kept: Kept) -> tuple[Arrangement, ...] | None:
    """The arrangements of the documents, checked again; None where they are not what they were."""
    from undersong.sheet.document import from_json
    from undersong.sheet.errors import SheetError

    try:
        return tuple(from_json(document.decode()) for document in kept.documents)
    except (SheetError, ArrangeError, ValueError):
        return None


def _drawn(arrangements: list[Arrangement], parts: tuple[Part, ...], settings: Settings) -> bytes:
    from undersong.book.drawing import draw_tune

    return draw_tune(arrangements, settings.look, tuple(part.level for part in parts))


def _pages_in(pdf: bytes) -> int:
    from pypdf import PdfReader

    return len(PdfReader(BytesIO(pdf)).pages)
