"""The whole job on three screens: a file in, an instrument set, a wish moved, a bar kept, a finger
ruled out, two versions set side by side, heard, levelled, kept, and taken back."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.undersong.desk.browser.conftest import WIDTHS, cost, forget, picture, settled
from tests.undersong.desk.browser.test_choosing import ABC, REACH, slide, title
from tests.undersong.desk.browser.test_working import choose_bar
from tests.undersong.desk.served import Served


@pytest.mark.parametrize("size", list(WIDTHS))
def test_the_whole_job(
    open_page: Callable[..., Any], desk: Served, size: str, tmp_path: Path
) -> None:
    forget(desk)
    page = open_page(desk, size)
    file = tmp_path / "kettle.abc"
    file.write_text(ABC)
    page.get_by_label("A file of yours").set_input_files(file)
    page.wait_for_function("() => document.querySelector('#title').textContent.includes('Kettle')")
    settled(page)

    page.locator("#player summary", has_text=re.compile("^Instrument")).click()
    page.locator("#player").get_by_label("Instrument", exact=True).select_option("1+6+")
    settled(page)
    at_first = cost(page)
    slide(page, REACH, 0)
    assert cost(page) <= at_first
    picture(page, f"journey-1-wishes-{size}")

    choose_bar(page, 2)
    page.locator("#keep-bar").click()
    settled(page)
    assert "bar 2 kept" in page.inner_text("#bar")
    choose_bar(page, 3)
    page.locator("#bar .ask-more summary").click()
    form = page.locator("#bar form")
    form.get_by_label("What", exact=True).select_option("finger")
    form.get_by_label("Finger").select_option("R")
    form.get_by_role("button", name="Rule it out").click()
    settled(page)
    picture(page, f"journey-2-bar-{size}")

    page.locator("#beside-left").select_option("now")
    page.locator("#beside-right").select_option("before")
    page.locator("#beside-go").click()
    page.locator("#beside table").first.wait_for()
    picture(page, f"journey-3-beside-{size}")

    page.locator("#play").click()
    page.locator("#sheet button.bar.is-sounding").wait_for()
    page.locator("#play").click()
    page.wait_for_function("() => !document.querySelector('#sheet button.bar.is-sounding')")

    page.locator("#make-levels").click()
    page.locator("#levels .levels > li").nth(4).wait_for()
    picture(page, f"journey-4-levels-{size}")
    with page.expect_download() as made:
        page.locator("#download").click()
    assert made.value.suggested_filename == "the-kettle-song.pdf"
    assert page.evaluate("document.documentElement.scrollWidth") <= WIDTHS[size][0]

    while page.locator("#undo").is_enabled():
        page.locator("#undo").click()
        settled(page)
    assert title(page) == "Harrow Lane"
    while page.locator("#redo").is_enabled():
        page.locator("#redo").click()
        settled(page)
    assert title(page) == "The Kettle Song"
    assert "3: finger R" in page.inner_text("#bar")
