"""One run at a time in a book's folder: whoever comes second is told so and goes away.

The system holds the lock for as long as the process lives, so a run that was killed leaves none:
the file that stays behind means nothing.

Public: locked, InUse, LOCK.
"""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

LOCK = ".in-use"


class InUse(ValueError):  # noqa: N818  what it is
    """Another run is at work in the folder; one sentence."""


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Holds the folder; raises InUse where another process does, OSError where the file cannot be
    made."""
    path = folder / LOCK
    with path.open("a+", encoding="utf-8") as file:
        if not _taken(file):
            file.seek(0)
            by = file.read(100).strip()
            process = f" (process {by})" if by.isascii() and by.isdigit() else ""
            raise InUse(
                f"{folder}: another run{process} is making a book in this folder; wait until it "
                "has ended, or name another folder"
            )
        file.truncate(0)
        file.write(f"{os.getpid()}\n")
        file.flush()
        try:
            yield
        finally:
            file.truncate(0)
            _let_go(file)


if sys.platform == "win32":
    import msvcrt

    def _taken(file: IO[str]) -> bool:
        file.seek(1000)  # beyond what is read, which others may still do
        try:
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

    def _let_go(file: IO[str]) -> None:
        file.seek(1000)
        with suppress(OSError):
            msvcrt.locking(file.fileno(), msvcrt.LK_UNLCK, 1)

else:
    import fcntl

    def _taken(file: IO[str]) -> bool:
        try:
            fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True

    def _let_go(file: IO[str]) -> None:
        with suppress(OSError):
            fcntl.flock(file.fileno(), fcntl.LOCK_UN)
