"""How soon the desk's page stands, and how soon a slider's answer does, measured in the browser.

From a slider's event to the frame after the new page was drawn, the quiet time before a search
included. The tune is played over 32 bars. The targets are the project's own: the first page within
1 s after the server answers, a slider's answer within 0.5 s at the median and at the 95th
percentile. Wants Debian's chromium.
"""

import shutil
import tempfile
import time
from pathlib import Path
from typing import Any

from benchmarks.rows import Row
from tests.undersong.desk.served import served

LOADS, MOVES = 7, 39
FIRST_SECONDS, SLIDER_SECONDS = 1.0, 0.5
TUNE = "harrow-lane"

_STANDS = "() => document.querySelector('.paper svg') !== null"
_MOVE = """
([name, value]) => new Promise((done, failed) => {
  setTimeout(() => failed(new Error(
    'no new page within 20 s: ' + document.querySelector('#sheet').innerText.slice(0, 99))), 20000);
  const slider = [...document.querySelectorAll('.wish input[type=range]')]
    .find((one) => one.labels[0].textContent.startsWith(name));
  const paper = document.querySelector('.paper');
  const begun = performance.now();
  new MutationObserver((_, watching) => {
    watching.disconnect();
    requestAnimationFrame(() => setTimeout(() => done((performance.now() - begun) / 1000)));
  }).observe(paper, { childList: true });
  slider.value = String(value);
  slider.dispatchEvent(new Event('input', { bubbles: true }));
  slider.dispatchEvent(new Event('change', { bubbles: true }));
})
"""


def run() -> list[Row]:
    from playwright.sync_api import sync_playwright

    with (
        tempfile.TemporaryDirectory() as folder,
        served(Path(folder), first=[TUNE]) as desk,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"))
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        first = tuple(_load(page, desk.address) for _ in range(LOADS))
        moves = tuple(_move(page, number) for number in range(MOVES))
        browser.close()
    late = sorted(moves)[int(0.95 * (MOVES - 1))]
    return [
        Row("the page stands", first, "s", FIRST_SECONDS),
        Row("a slider's answer stands", moves, "s", SLIDER_SECONDS),
        Row("the same, 95th percentile", (late,), "s", SLIDER_SECONDS),
    ]


def _load(page: Any, address: str) -> float:
    begun = time.perf_counter()
    page.goto(address, wait_until="commit")
    page.wait_for_function(_STANDS)
    return time.perf_counter() - begun


def _move(page: Any, number: int) -> float:
    """One wish moved, no two values alike; what it wishes for takes turns."""
    name, low = (("The bass climbs", 16), ("The bass repeats", 7), ("The bass repeats", 181))[
        number % 3
    ]
    seconds: float = page.evaluate(_MOVE, [name, low + number])
    return seconds
