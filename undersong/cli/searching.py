"""The search run so that it can be watched and stopped: progress on stderr where that is a
terminal, and Ctrl-C answered at once, though the solver itself does not hear it.

Public: watched.
"""

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeVar

Answer = TypeVar("Answer")
Progress = Callable[[str, int, int], None]


def watched(work: Callable[[Progress | None], Answer]) -> Answer:
    """What ``work`` gives, which is called in a thread of its own with where to report progress.

    Raises whatever it raises, and KeyboardInterrupt at Ctrl-C; the thread is then left behind and
    dies with the process.
    """
    answers: list[Answer] = []
    errors: list[BaseException] = []

    def run(report: Progress | None) -> None:
        try:
            answers.append(work(report))
        except BaseException as error:
            errors.append(error)

    with _reporting() as report:
        thread = threading.Thread(target=run, args=(report,), name="search", daemon=True)
        thread.start()
        while thread.is_alive():
            thread.join(0.2)  # with a limit, so that Ctrl-C is heard on every system
    if errors:
        raise errors[0]
    return answers[0]


@contextmanager
def _reporting() -> Iterator[Progress | None]:
    """A progress line on stderr where that is a terminal, gone when the work is done."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("looking for the best way", total=None)

        def report(stage: str, done: int, total: int) -> None:
            bar.update(task, description=stage, completed=done, total=total or None)

        yield report
