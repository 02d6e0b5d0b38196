"""What a book of many real tunes takes: with two workers beside one, and beside the bare work.

The tunes are read from the collection of Francis O'Neill (1850 tunes, Chicago 1903) that music21
carries, and are written into one ABC file in a temporary folder; so many of those that can be read,
spread over the collection, as a solo where the melody lies on the instrument and chords are
proposed for it. What cannot be played is told with its reason, as in any book; its mends are not
looked for, since they are searches of their own.

The bare work is the same function, called for one tune after another in one process: reading,
proposing chords, solving, drawing, writing out. What a worker has held at most is told after its
hundredth tune (or a tenth of them, of a smaller book) and after its last, of the book with one
worker. Binding is measured by itself: it is done once, by one process.

``BOOK_TUNES`` in the environment sets how many tunes; the project's own targets are for 1,000.
"""

import os
import re
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from benchmarks.rows import Row, held_mib
from fretboard.presets import hand, instrument
from solver.style import Style
from tune.errors import TuneError
from tune.readers.abc import read_abc
from tune.readers.abc.bars import read_chord
from undersong.book.gathering import Gathered, gathered
from undersong.book.making import BookStanding, Order, make_book
from undersong.book.one_tune import Made, TuneTask, one_tune
from undersong.book.settings import Asking, Settings
from undersong.book.workers import Died, Workers, hired

TUNES = int(os.environ.get("BOOK_TUNES", "1000"))
EARLY = min(100, max(1, TUNES // 10))
FASTER, OVERHEAD, FLAT = 1.8, 1.10, 1.15
_QUOTED = re.compile(r'"([^"]*)"')


@dataclass(frozen=True)
class Run:
    """making, binding: seconds by the clock; held: MiB that each worker has held at most, after
    each tune that came back."""

    making: float
    binding: float
    held: tuple[float, ...]


@dataclass(frozen=True)
class Measured(Made):
    """held: MiB that its worker had held at most."""

    held: float = 0.0


def run() -> list[Row]:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        tunes, settings = _tunes(folder / "tunes.abc"), _settings()
        bare = _bare(tunes, settings)
        one = _made(tunes, settings, folder / "one", 1)
        two = _made(tunes, settings, folder / "two", 2)
        differing = files_that_differ(folder / "one", folder / "two")
    many = len(tunes.sources)
    early, late = one.held[EARLY - 1], one.held[-1]
    return [
        Row(f"{many} tunes, the bare work", (bare,), "s"),
        Row("the book with one worker", (one.making,), "s"),
        Row("the book with two workers", (two.making,), "s"),
        Row("binding", (one.binding, two.binding), "s"),
        Row(
            "two workers to one",
            (two.making / one.making,),
            "",
            1 / FASTER,
            f"{one.making / two.making:.2f} times as fast",
        ),
        Row("one worker to the bare work", (one.making / bare,), "", OVERHEAD),
        Row(f"a worker has held after tune {EARLY}", (early,), "MiB"),
        Row(f"a worker has held after tune {many}", (late,), "MiB"),
        Row("the latter to the former", (late / early,), "", FLAT),
        Row("files that differ between the two", (float(differing),), "", 0.0),
    ]


def _settings() -> Settings:
    asking = Asking(Style(texture="solo"))
    return Settings(instrument(), hand(), (asking,), chords="proposed", mends=0)


def _tunes(file: Path) -> Gathered:
    """So many tunes in one file."""
    import music21

    texts: list[str] = []
    for path in sorted((Path(music21.__file__).parent / "corpus" / "oneills1850").glob("*.abc")):
        texts += re.split(r"(?m)^(?=X:)", path.read_bytes().decode("latin-1"))
    good = [text for text in map(_words_as_words, texts) if _reads(text)]
    step = max(1, len(good) // TUNES)
    file.write_text("\n\n".join(good[::step][:TUNES]), encoding="utf-8")
    return gathered(str(file), instrument(), False, file.parent / "none")


def _reads(text: str) -> bool:
    try:
        read_abc(text)
    except TuneError:
        return False
    return True


def _words_as_words(text: str) -> str:
    """With ``"^Segno"`` for ``"Segno"``: in the collection words stand as chords."""

    def quoted(match: re.Match[str]) -> str:
        try:
            read_chord(match[1])
        except TuneError:
            return f'"^{match[1]}"'
        return match[0]

    return _QUOTED.sub(quoted, text)


def _bare(tunes: Gathered, settings: Settings) -> float:
    begun = time.perf_counter()
    for source in tunes.sources:
        one_tune(TuneTask(source, settings, ""))
    return time.perf_counter() - begun


def _measured(task: TuneTask) -> Made:
    made = one_tune(task)
    return Measured(**vars(made), held=_held())


def _held() -> float:
    """MiB that this process itself has held at most: what ``resource`` says counts in what its
    parent held when it began."""
    try:
        lines = Path("/proc/self/status").read_text(encoding="utf-8").splitlines()
    except OSError:
        return held_mib()
    return next(int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM:"))


def _made(tunes: Gathered, settings: Settings, out: Path, workers: int) -> Run:
    """The book made; the seconds of making reach from before the first worker begins to the last
    tune's being put down."""
    held: list[float] = []

    class Watching(Workers):
        """Notes what the workers hold."""

        def work(self, tasks: Iterator[tuple[int, TuneTask]]) -> Iterator[tuple[int, Made | Died]]:
            for number, made in super().work(tasks):
                if isinstance(made, Measured):
                    held.append(made.held)
                    shown = {name: value for name, value in vars(made).items() if name != "held"}
                    made = Made(**shown)
                yield number, made

    @contextmanager
    def watched(count: int, scheduler: str) -> Iterator[Workers]:
        with hired(count, scheduler) as found:
            yield Watching(found.client, found.busy, found.scheduler, _measured)

    done = [0.0]

    def tell(standing: BookStanding) -> None:
        done[0] = time.perf_counter()

    begun = time.perf_counter()
    make_book(tunes, settings, out, Order("Tunes", workers), tell, watched)
    ended = time.perf_counter()
    return Run(done[0] - begun, ended - done[0], tuple(held))


def files_that_differ(one: Path, other: Path) -> int:
    """How many files are in one of the folders alone, or in both with other bytes."""

    def files(folder: Path) -> dict[str, bytes]:
        return {
            path.relative_to(folder).as_posix(): path.read_bytes()
            for path in folder.rglob("*")
            if path.is_file()
        }

    here, there = files(one), files(other)
    return sum(here.get(name) != there.get(name) for name in here.keys() | there.keys())
