"""Answers of the command line (.json), opened on the desk with another tune on the page."""

from pathlib import Path
from typing import Any

import pytest

import undersong
from solver.conditions import Conditions
from solver.conditions.costliest import Costliest
from solver.style import Style
from tests.undersong.desk.browser.conftest import cost, picture, settled, tune
from tests.undersong.desk.browser.test_choosing import REACH, slide, title
from undersong.desk.settings import begun, session_of
from undersong.desk.work import Source, Work

TEA = "title: Tea\nkey: D\nmetre: 4/4\n\n| D | G | A | D |\n"


@pytest.fixture(scope="module")
def solo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Harrow Lane as a solo."""
    made = undersong.arrange(undersong.read_tune("harrow-lane"), style=Style(texture="solo"))
    file = tmp_path_factory.mktemp("answers") / "solo.json"
    file.write_text(undersong.to_json(made))
    return file


@pytest.fixture(scope="module")
def costliest(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An answer that asks for what the page cannot."""
    asked = begun(Work(Source(bundled="harrow-lane")))
    made = session_of(asked).arrange(asked.weights, Conditions(costliest=Costliest()))
    file = tmp_path_factory.mktemp("answers") / "costliest.json"
    file.write_text(undersong.to_json(made))
    return file


def is_the_solo(page: Any) -> None:
    assert title(page) == "Harrow Lane"
    assert "Harrow Lane" in page.inner_text("#tune .facts")
    assert page.get_by_label("A tune that comes with Undersong").input_value() == "harrow-lane"
    assert "solo" in page.inner_text("#player")


def keeps_the_solo(response: Any) -> bool:
    """Whether the desk has kept it, and nothing of before."""
    asked = response.request
    there = asked.method == "POST" and asked.url.endswith("/kept")
    return there and "harrow-lane" in (asked.post_data or "")


@pytest.mark.parametrize("before", ["a bundled tune", "a typed chart"])
def test_an_answer_is_gone_on_with(page: Any, solo: Path, before: str) -> None:
    if before == "a bundled tune":
        tune(page, "lantern-path")
    else:
        page.get_by_text("Type a chord chart").click()
        page.get_by_label("Type chords").fill(
            "title: Tea\nkey: D\nmetre: 4/4\n\n| D | G | A | D |\n"
        )
        page.get_by_role("button", name="Use these chords").first.click()
        page.wait_for_function("() => document.querySelector('#title').textContent === 'Tea'")
        settled(page)
    with page.expect_response(keeps_the_solo):
        page.get_by_label("Open a file of your work").set_input_files(solo)
    page.wait_for_function("() => document.querySelector('#title').textContent === 'Harrow Lane'")
    settled(page)
    is_the_solo(page)
    told = cost(page)
    page.locator("#sheet .paper button.bar").nth(1).click()
    page.wait_for_function("() => /[\\d,]+ ms/.test(document.querySelector('#bar .why').innerText)")
    picture(page, "answer")
    page.reload()
    page.wait_for_selector("#sheet .paper svg")
    settled(page)
    is_the_solo(page)
    assert cost(page) == told
    slide(page, REACH, 5)
    is_the_solo(page)
    page.locator("#undo").click()
    settled(page)
    page.locator("#undo").click()
    settled(page)
    assert title(page) == ("Lantern Path" if before == "a bundled tune" else "Tea")


def test_an_answer_that_the_page_cannot_ask_for_changes_nothing(page: Any, costliest: Path) -> None:
    """It can be looked at all the same, beside the tune's own."""
    told = cost(page)
    page.locator("#beside-open").set_input_files(costliest)
    page.locator("#beside .help", has_text="can be chosen").wait_for()
    page.locator("#beside-go").click()
    page.locator("#beside .tables strong").wait_for()
    page.locator("#beside").get_by_role("button", name="Take “the file").click()
    page.locator("#beside .notice", has_text="cannot be taken up").wait_for()
    assert (title(page), cost(page)) == ("Harrow Lane", told)
    tune(page, "lantern-path")
    told = cost(page)
    page.get_by_label("Open a file of your work").set_input_files(costliest)
    page.locator("#keep .notice", has_text="cannot be taken up").wait_for()
    assert (title(page), cost(page)) == ("Lantern Path", told)
