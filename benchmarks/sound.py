"""How soon a recording is made, and how much memory it takes.

A tune of a minute or more is arranged beforehand; measured is what comes after, for a player who
waits for the file: the sound itself, made block by block, and each kind of file. Memory is the
highest that Python and numpy held while blocks were made and let go, for the tune once and for
twenty times as much. The targets are the project's own: a minute of music within a second, and no
more memory for a long tune than for a short one (half a MiB is given for chance).
"""

import time
import tracemalloc
from pathlib import Path
from tempfile import TemporaryDirectory

from benchmarks.rows import Row
from solver.result import Arrangement
from undersong import arrange
from undersong.sound.files import ENCODINGS, write_sound
from undersong.sound.midi import write_midi
from undersong.sound.plan import plan_of
from undersong.sound.render import render
from undersong.sound.sound_options import SoundOptions

TUNE = "harrow-lane"
RUNS = 5
SECONDS = 1.0
TIMES = 20
MORE_MEMORY = 0.5
MINUTE = 60.0


def run() -> list[Row]:
    made = arrange(TUNE)
    share = MINUTE / float(plan_of(made, SoundOptions()).seconds)
    rows = [
        Row(
            "a minute of sound",
            tuple(share * _rendered(made, SoundOptions()) for _ in range(RUNS)),
            "s",
            SECONDS,
        )
    ]
    with TemporaryDirectory() as folder:
        for suffix in ENCODINGS:
            file = Path(folder) / f"tune{suffix}"
            taken = tuple(share * _written(made, file) for _ in range(RUNS))
            target = SECONDS if suffix == ".wav" else None
            size = f"{share * file.stat().st_size / 1e6:.1f} MB"
            rows.append(Row(f"a minute in {suffix}", taken, "s", target, size))
        file = Path(folder) / "tune.mid"
        begun = time.perf_counter()
        write_midi(made, file)
        rows.append(Row("the tune in .mid", (time.perf_counter() - begun,), "s"))
    once, often = (_memory(made, SoundOptions(times=times)) for times in (1, TIMES))
    rows += [
        Row("memory, played once", (once,), "MiB"),
        Row(f"memory, played {TIMES} times", (often,), "MiB", once + MORE_MEMORY),
    ]
    return rows


def _rendered(made: Arrangement, options: SoundOptions) -> float:
    begun = time.perf_counter()
    for _ in render(made, options):
        pass
    return time.perf_counter() - begun


def _written(made: Arrangement, file: Path) -> float:
    begun = time.perf_counter()
    write_sound(made, file)
    return time.perf_counter() - begun


def _memory(made: Arrangement, options: SoundOptions) -> float:
    tracemalloc.start()
    _rendered(made, options)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return most / 2**20
