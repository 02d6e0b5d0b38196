"""Small books for the tests: tunes of a few bars, workers in this very process, folders compared.

Public: tunes_in, TUNES, FEW, abc, settings, make, here, contents, Worked, never.
"""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from fretboard.presets import hand, instrument
from solver.style import Style, usual_manner
from undersong.book.gathering import Gathered, gathered
from undersong.book.making import Book, Order, make_book
from undersong.book.one_tune import Made, TuneTask, one_tune
from undersong.book.settings import Asking, Settings
from undersong.book.state import STATE

LETTERS = {"Lamp": "DFA", "Gate": "FAd", "Well": "AFD", "Hedge": "dAF", "Stile": "DAF"}
TUNES = tuple(LETTERS)
FEW = TUNES[:3]


def abc(title: str, number: int = 1) -> str:
    """A tune of two bars, playable as it is."""
    one, two, three = LETTERS[title]
    return (
        f"X:{number}\nT:{title}\nM:3/4\nL:1/4\nQ:1/4=90\nK:D\n"
        f'"D"{one}{two}{three}|"A"E2 A|"D"D3|]\n'
    )


def tunes_in(folder: Path, titles: tuple[str, ...] = TUNES) -> Path:
    """The tunes as files in the folder, which is made."""
    folder.mkdir()
    for title in titles:
        (folder / f"{title.lower()}.abc").write_text(abc(title), encoding="utf-8")
    return folder


def settings(*textures: str, **more: Any) -> Settings:
    """The usual instrument and hand."""
    askings = tuple(
        Asking(Style(texture=texture, manner=usual_manner(texture)))
        for texture in textures or ("song",)
    )
    return Settings(instrument(), hand(), askings, **more)


class Worked:
    """Does the work of ``hired`` in this process; tasks: those that were done; ends: after so many
    Ctrl-C comes, None for never."""

    def __init__(self, ends: int | None = None) -> None:
        self.tasks: list[TuneTask] = []
        self.ends = ends

    @contextmanager
    def hired(self, workers: int, scheduler: str) -> Iterator["Worked"]:
        yield self

    def work(self, tasks: Iterator[tuple[int, TuneTask]]) -> Iterator[tuple[int, Made]]:
        for number, task in tasks:
            if self.ends == len(self.tasks):
                raise KeyboardInterrupt
            self.tasks.append(task)
            yield number, one_tune(task)

    @property
    def titles(self) -> list[str]:
        return [task.source.title for task in self.tasks]


def make(
    source: Path | str,
    out: Path,
    asked: Settings | None = None,
    ends: int | None = None,
    title: str = "Tunes",
) -> tuple[Book, Worked]:
    """A book made in this process; ends: as ``Worked`` takes it."""
    asked = asked or settings()
    worked = Worked(ends)
    order = Order(title)
    return make_book(found(source, out, asked), asked, out, order, hire=worked.hired), worked


def found(source: Path | str, out: Path, asked: Settings) -> Gathered:
    """The source's tunes."""
    return gathered(str(source), asked.instrument, asked.beside, out)


def contents(folder: Path) -> dict[str, str]:
    """Name → sum of the bytes of every file below the folder, hidden ones too."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def with_hand(asked: Settings, name: str) -> Settings:
    return replace(asked, hand=hand(name))


def lines_of(out: Path) -> list[str]:
    """The lines of the state."""
    return (out / STATE).read_text(encoding="utf-8").splitlines()


def never(*_: object, **__: object) -> Made:
    """Stands for what is not to be called, or fails where it is."""
    raise LookupError("this is never asked")
