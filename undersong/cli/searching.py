"""The search run so that it can be watched and stopped: how it stands on stderr where that is a
terminal, and Ctrl-C answered at once, though the solver itself does not hear it.

Public: watched.
"""

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeVar

from solver.watch import Standing, Watch

Answer = TypeVar("Answer")
Tell = Callable[[Standing], None]

PATIENCE = 5.0
"""Seconds that a stopped search is given to end by itself."""


def watched(work: Callable[[Watch], Answer], seconds: float) -> Answer:
    """What ``work`` gives, which is called in a thread of its own with the watch to search under.

    Raises whatever it raises, and KeyboardInterrupt at Ctrl-C, when the search was stopped.
    """
    answers: list[Answer] = []
    errors: list[BaseException] = []

    def run(watch: Watch) -> None:
        try:
            answers.append(work(watch))
        except BaseException as error:
            errors.append(error)

    with _reporting() as tell:
        watch = Watch(seconds=seconds, tell=tell)
        thread = threading.Thread(target=run, args=(watch,), name="search", daemon=True)
        thread.start()
        try:
            while thread.is_alive():
                thread.join(0.2)  # with a limit, so that Ctrl-C is heard on every system
        except KeyboardInterrupt:
            watch.stop.now()
            thread.join(PATIENCE)
            raise
    if errors:
        raise errors[0]
    return answers[0]


@contextmanager
def _reporting() -> Iterator[Tell | None]:
    """A line on stderr where that is a terminal, gone when the work is done."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("looking for the best way", total=None)

        def tell(standing: Standing) -> None:
            bar.update(
                task,
                description=_words(standing),
                completed=standing.done,
                total=standing.total or None,
            )

        yield tell


def _words(standing: Standing) -> str:
    """The stage, and as far as known: bars done, no answer below, best so far, the gap."""
    words = standing.stage
    if standing.total:
        words += f", {standing.unit} {standing.done} of {standing.total}"
    if standing.bound is not None:
        words = f"{standing.stage}: at least {standing.bound} ms"
    if standing.best is not None:
        words += f", best so far {standing.best} ms (gap {standing.gap})"
    return words
