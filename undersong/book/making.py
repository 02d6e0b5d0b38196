"""Making a book: what is finished is kept, the rest is given out, and all is bound at the end.

Public: make_book, Book, Order, BookStanding, Unfinished, Workforce, Hire.
"""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Protocol

from undersong.book.entry import Entry, Failure
from undersong.book.fingerprint import program as program_here
from undersong.book.gathering import Gathered
from undersong.book.keys import Keys
from undersong.book.lock import locked
from undersong.book.one_tune import Made, TuneTask
from undersong.book.settings import Settings
from undersong.book.source import Source
from undersong.book.state import Asking, Record, State, sum_of
from undersong.book.workers import Died, NoWorkers, hired
from undersong.sheet.errors import SheetError


class Workforce(Protocol):
    """Who does the work."""

    def work(self, tasks: Iterator[tuple[int, TuneTask]]) -> Iterator[tuple[int, Made | Died]]:
        """What came of each task, with its number."""


Hire = Callable[[int, str], AbstractContextManager[Workforce]]
"""So many workers, or a scheduler's address → who does the work."""


@dataclass(frozen=True)
class Order:
    """title: of the book; workers: processes of this machine; scheduler: the address of a Dask
    scheduler whose workers are taken instead, or nothing."""

    title: str
    workers: int = 1
    scheduler: str = ""


@dataclass(frozen=True)
class BookStanding:
    """done: tunes that are finished, of total; kept: those of them that an earlier run made."""

    done: int
    total: int
    kept: int


@dataclass(frozen=True)
class Book:
    """entries: in the book's order; kept: how many an earlier run made; seconds: what a tune took,
    by its number, of those made now; removed: files of tunes or versions that are in the book no
    more."""

    entries: tuple[Entry, ...]
    kept: int
    seconds: dict[int, float]
    removed: int


class Unfinished(RuntimeError):  # noqa: N818  what it is
    """The run ended before the book did; what was finished is kept. interrupted: by the player."""

    def __init__(self, why: str, standing: BookStanding, interrupted: bool = False) -> None:
        self.standing, self.interrupted = standing, interrupted
        super().__init__(
            f"{why}; {standing.done} of {standing.total} tunes are finished and kept, and the same "
            "command goes on from there"
        )


def make_book(
    tunes: Gathered,
    settings: Settings,
    folder: Path,
    order: Order,
    tell: Callable[[BookStanding], None] = lambda standing: None,
    hire: Hire = hired,
) -> Book:
    """The book in its folder, which is made if need be.

    tell: is told how it stands; hire: who does the work, as ``hired`` finds them.
    Raises Unfinished where the run ended early, InUse where another one is at work there, OSError
    and SheetError where nothing can be written.
    """
    folder.mkdir(exist_ok=True)
    with locked(folder):
        run = _Run(tunes.sources, settings, folder, tell)
        try:
            run.finish(order, hire)
        except KeyboardInterrupt:
            raise Unfinished("stopped", run.written, interrupted=True) from None
        except (NoWorkers, SheetError) as error:
            raise Unfinished(str(error), run.written) from None
        try:
            return run.bound(order.title)
        except KeyboardInterrupt:
            raise Unfinished("stopped", run.written, interrupted=True) from None


class _Run:
    """entries, records: by the source's index; what is not worth keeping has no record."""

    def __init__(
        self,
        sources: tuple[Source, ...],
        settings: Settings,
        folder: Path,
        tell: Callable[[BookStanding], None],
    ) -> None:
        self.sources, self.settings, self.folder, self.tell = sources, settings, folder, tell
        self.program = program_here()
        self.keys = Keys(settings, self.program)
        self.state = State(folder)
        self.state.sweep()
        self.records: dict[int, Record] = {}
        self.entries: dict[int, Entry] = {}
        self.seconds: dict[int, float] = {}
        for index, source in enumerate(sources):
            record = self.state.find(self.keys.for_tune(source))
            if record is not None:
                self._enter(index, record.entry)
                self.records[index] = record
        self.kept = len(self.entries)

    @property
    def standing(self) -> BookStanding:
        return BookStanding(len(self.entries), len(self.sources), self.kept)

    @property
    def written(self) -> BookStanding:
        """The same by what is in the file of state: what the next run finds finished."""
        state = State(self.folder)
        found = [state.find(self.keys.for_tune(source)) is not None for source in self.sources]
        return BookStanding(sum(found), len(self.sources), self.kept)

    def finish(self, order: Order, hire: Hire) -> None:
        """Makes what is not there yet."""
        left = len(self.sources) - len(self.entries)
        self.tell(self.standing)
        if not left:
            return
        with hire(min(order.workers, left), order.scheduler) as workers:
            for index, made in workers.work(self._tasks(self.program if order.scheduler else "")):
                self._put(index, made)
                self.tell(self.standing)

    def bound(self, title: str) -> Book:
        """Binds the book, and leaves in its folder what belongs to it."""
        from undersong.book.binding import bind
        from undersong.book.summary import write_summary
        from undersong.book.table import write_table

        entries = tuple(self.entries[index] for index in range(len(self.sources)))
        bound = bind(entries, self.folder, title, self.settings.look)
        write_summary(entries, self.folder, title, bound)
        write_table(entries, self.folder, bound)
        records = [self.records[index] for index in sorted(self.records)]
        used = [entry.pages for entry in entries]
        used += [part.file for entry in entries for part in entry.parts]
        removed = self.state.settle(records, used)
        seconds = {index + 1: took for index, took in self.seconds.items()}
        return Book(entries, self.kept, seconds, removed)

    def _tasks(self, program: str) -> Iterator[tuple[int, TuneTask]]:
        """What is left to do; program: what workers must have, empty where they are ours."""
        for index, source in enumerate(self.sources):
            if index in self.entries:
                continue
            kept = {}
            for asking in self.settings.askings:
                found = self.state.kept(asking.name, self.keys.for_asking(source, asking))
                if found is not None:
                    kept[asking.name] = found
            yield index, TuneTask(source, self.settings, program, kept)

    def _put(self, index: int, made: Made | Died) -> None:
        source = self.sources[index]
        if isinstance(made, Died):
            reason = (
                "its worker died each time that it was tried, perhaps for want of memory; start "
                "the same command again, with fewer workers"
            )
            failed = Entry(1, source.title, source.shown, failures=(Failure(None, reason),))
            self._enter(index, failed)
            return
        self.seconds[index] = made.seconds
        if made.lasting:
            asked = tuple(
                Asking(
                    told.name,
                    self.keys.of_asking(source, told),
                    len(told.parts),
                    len(told.failures),
                    told.timed,
                )
                for told in made.told
            )
            sums = {name: sum_of(content) for name, content in made.files.items()}
            record = Record(self.keys.of_tune(source, made), made.entry, asked, sums)
            self.state.add(record, made.files)
            self.records[index] = record
        else:
            self.state.put(made.files)
        self._enter(index, made.entry)

    def _enter(self, index: int, entry: Entry) -> None:
        self.entries[index] = replace(entry, number=index + 1)
