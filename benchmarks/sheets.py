"""How soon a page is engraved: 32 printed bars with words, to SVG and to PDF.

Libraries are loaded before the clock starts, since a page is made after a search that loads most of
them; what loading them takes is told apart. The targets are the project's own: an SVG within 0.3 s,
a PDF within 2 s.
"""

import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial

import undersong
from benchmarks.rows import Row
from undersong.sheet.engraved import page_pdf, page_svg
from undersong.sheet.page_options import PageOptions

RUNS = 7
SVG_SECONDS, PDF_SECONDS = 0.3, 2.0
TUNES = ("lantern-path", "long-way-round-the-green")
_LOADS = "import time; t = time.perf_counter(); import verovio, cairosvg, pypdf; print({})"


def run() -> list[Row]:
    loading = tuple(_loading() for _ in range(RUNS))
    rows = [Row("loading verovio, cairosvg, pypdf", loading, "s")]
    for name in TUNES:
        made = undersong.arrange(undersong.read_tune(name))
        bars = len([bar for bar in made.tune.bars if bar.number])
        targets = (SVG_SECONDS, PDF_SECONDS) if bars == 32 else (None, None)
        for kind, draw, target in (("SVG", page_svg, targets[0]), ("PDF", page_pdf, targets[1])):
            values = _timed(partial(draw, made, PageOptions()))
            rows.append(Row(f"{name}, {bars} bars, to {kind}", values, "s", target))
    return rows


def _timed(work: Callable[[], bytes]) -> tuple[float, ...]:
    work()
    seconds = []
    for _ in range(RUNS):
        begun = time.perf_counter()
        work()
        seconds.append(time.perf_counter() - begun)
    return tuple(seconds)


def _loading() -> float:
    """Seconds, in a process of its own."""
    code = _LOADS.format("time.perf_counter() - t")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return float(done.stdout)
