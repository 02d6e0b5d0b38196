"""A real Chromium at a desk of its own. Pages may ask nothing of any other machine, and no script
may fail; pictures of what was seen are kept where UNDERSONG_PICTURES says."""

import os
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.undersong.desk.served import Served, served

sync_api = pytest.importorskip("playwright.sync_api")

WIDTHS = {"wide": (1280, 900), "tablet": (768, 1024), "phone": (390, 844)}
WAIT = int(os.environ.get("UNDERSONG_PATIENCE", "30000"))
"""ms that anything on the page may take on a busy machine."""


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    """Ended with each file of tests, since others run event loops, and a browser keeps one."""
    path = shutil.which("chromium")
    assert path, "these tests want Debian's chromium: apt install chromium"
    with sync_api.sync_playwright() as playwright:
        arguments = ["--autoplay-policy=no-user-gesture-required"]
        browser = playwright.chromium.launch(executable_path=path, args=arguments)
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with served(tmp_path_factory.mktemp("kept")) as one:
        yield one


@pytest.fixture
def open_page(chromium: Any, request: pytest.FixtureRequest) -> Iterator[Callable[..., Any]]:
    """Opens pages of a size; at the end of the test nothing may have gone wrong on any of them."""
    faults: list[str] = []
    contexts = []

    def opened(desk: Served, size: str = "wide", scheme: str = "light", **more: Any) -> Any:
        width, height = WIDTHS[size]
        context = chromium.new_context(
            viewport={"width": width, "height": height}, color_scheme=scheme,
            accept_downloads=True, **more,
        )  # fmt: skip
        contexts.append(context)
        context.on("request", lambda one: _watch(one.url, desk, faults))
        page = context.new_page()
        page.set_default_timeout(WAIT)
        page.on("pageerror", lambda error: faults.append(f"script: {error}"))
        page.on("console", lambda one: _listen(one, faults))
        page.goto(desk.address)
        page.wait_for_selector("#sheet .paper svg")
        settled(page)
        return page

    yield opened
    for context in contexts:
        context.close()
    expected = request.node.get_closest_marker("faults")
    if expected is None:
        assert faults == []


@pytest.fixture
def page(open_page: Callable[..., Any], desk: Served) -> Any:
    """The desk with the tune that it begins with, as if for the first time."""
    forget(desk)
    return open_page(desk)


def forget(desk: Served) -> None:
    """Takes every kept work away."""
    assert desk.folder is not None
    for file in desk.folder.glob("*.json"):
        file.unlink()


def _watch(url: str, desk: Served, faults: list[str]) -> None:
    if not re.match(rf"(blob:|data:|http://{re.escape(desk.host)}/)", url):
        faults.append(f"asked {url}")


def _listen(message: Any, faults: list[str]) -> None:
    refused = "Failed to load resource: the server responded with a status of 4"
    if message.type == "error" and not message.text.startswith(refused):
        faults.append(f"console: {message.text}")


def settled(page: Any) -> None:
    """Waits until the page shows the answer to what it was asked last."""
    page.wait_for_timeout(250)
    page.wait_for_function("() => document.querySelector('#sheet .search').hidden")
    page.wait_for_timeout(50)


def tune(page: Any, name: str) -> None:
    """Chooses a bundled tune."""
    page.get_by_label("A tune that comes with Undersong").select_option(name)
    settled(page)


def cost(page: Any) -> int:
    """ms of hand work that the page tells."""
    found = re.search(r"([\d,]+) ms of hand work", page.inner_text("#sheet .verdict"))
    assert found
    return int(found[1].replace(",", ""))


def picture(page: Any, name: str) -> None:
    """A picture of the whole page, where somebody wants to look at it."""
    folder = os.environ.get("UNDERSONG_PICTURES")
    if folder:
        Path(folder).mkdir(parents=True, exist_ok=True)
        page.screenshot(path=str(Path(folder) / f"{name}.png"), full_page=True)
