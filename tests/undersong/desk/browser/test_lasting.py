"""Nothing is lost when the page is loaded anew, or the desk is killed in mid-search."""

import signal
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.undersong.desk.browser.conftest import cost, settled, tune
from tests.undersong.desk.browser.test_choosing import slide
from tests.undersong.desk.served import served
from tests.undersong.desk.test_security import free_port


def test_loading_the_page_anew_loses_nothing(page: Any) -> None:
    slide(page, "The bass climbs above fret 4", 66)
    told = cost(page)
    page.wait_for_timeout(400)
    page.reload()
    page.wait_for_selector("#sheet .paper svg")
    settled(page)
    assert cost(page) == told
    assert "66 ms" in page.inner_text("#undo-words")
    page.locator("#undo").click()
    settled(page)
    slider = page.locator("#wishes").get_by_label("The bass climbs above fret 4", exact=True)
    assert slider.input_value() == "15"


@pytest.mark.faults
def test_a_desk_that_is_killed_in_the_middle_of_a_search(
    open_page: Callable[..., Any], tmp_path: Path
) -> None:
    """The wish that was just set is there again, though its answer never came."""
    port = str(free_port())
    with served(tmp_path, "--port", port) as desk:
        page = open_page(desk)
        tune(page, "long-way-round-the-green")
        page.locator("#player summary", has_text="What is to learn").click()
        shapes = page.locator("#player").get_by_label("At most so many shapes")
        shapes.fill("8")
        shapes.press("Enter")
        page.locator("#sheet .search").wait_for()
        page.wait_for_timeout(600)
        desk.process.send_signal(signal.SIGKILL)
        desk.process.wait()
        page.locator("#sheet .notice", has_text="does not answer").wait_for()
    with served(tmp_path, "--port", port) as desk:
        page.reload()
        page.wait_for_function(
            "() => document.querySelector('#undo-words')?.textContent.includes('8 shapes')"
        )
        page.locator("#player summary", has_text="What is to learn").click()
        shapes = page.locator("#player").get_by_label("At most so many shapes")
        assert shapes.input_value() == "8"
        assert "Long Way" in page.locator("#tune .facts").inner_text()


def test_a_long_search_is_told_and_can_be_stopped(page: Any) -> None:
    tune(page, "long-way-round-the-green")
    told = cost(page)
    page.locator("#player summary", has_text="What is to learn").click()
    shapes = page.locator("#player").get_by_label("At most so many shapes")
    shapes.fill("7")
    shapes.press("Enter")
    search = page.locator("#sheet .search")
    search.wait_for()
    page.wait_for_timeout(1500)
    assert search.inner_text().strip()
    # the page itself answers at once while the search runs
    page.get_by_text("The tab in words, bar by bar").click()
    assert page.locator("#sheet .reading li").first.is_visible()
    search.get_by_role("button", name="Stop").click()
    search.wait_for(state="hidden")
    assert cost(page) == told
    assert "Not what you ask for now" in page.inner_text("#sheet .verdict")
    page.locator("#undo").click()
    settled(page)
    assert "Proven best" in page.inner_text("#sheet .verdict")
