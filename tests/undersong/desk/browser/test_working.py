"""Looking into bars, pinning, comparing, listening, levels: as a person does it."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.undersong.desk.browser.conftest import cost, settled, tune
from tests.undersong.desk.browser.test_choosing import REACH, slide
from tests.undersong.desk.served import Served


def choose_bar(page: Any, number: int) -> None:
    """Clicks a bar on the page, and waits until it is explained."""
    page.locator("#sheet .paper button.bar").nth(number - 1).click()
    page.wait_for_function("() => /[\\d,]+ ms/.test(document.querySelector('#bar .why').innerText)")


def test_a_bar_is_explained(page: Any) -> None:
    choose_bar(page, 2)
    told = page.inner_text("#bar")
    assert "ms" in told
    assert re.search(r"would cost|no other choice", told, re.IGNORECASE)
    assert page.locator("#sheet button.bar.is-selected").count() >= 1


def test_another_choice_is_taken_and_taken_back(page: Any) -> None:
    before = cost(page)
    choose_bar(page, 2)
    page.locator("#bar").get_by_role("button", name=re.compile("^Take this")).first.click()
    settled(page)
    assert cost(page) >= before
    assert page.locator("#bar .pins li, #bar .asked li, #bar li").count() > 0
    page.locator("#undo").click()
    settled(page)
    assert cost(page) == before


def test_a_bar_is_kept_while_wishes_change(page: Any) -> None:
    choose_bar(page, 3)
    words = page.locator("#sheet .reading li").nth(2).text_content()
    page.locator("#keep-bar").click()
    settled(page)
    slide(page, REACH, 0)
    assert page.locator("#sheet .reading li").nth(2).text_content() == words


def test_a_finger_is_ruled_out(page: Any) -> None:
    choose_bar(page, 2)
    page.locator("#bar .ask-more summary").click()
    form = page.locator("#bar form")
    form.get_by_label("What", exact=True).select_option("finger")
    form.get_by_label("Where").select_option("all")
    form.get_by_label("Finger").select_option("P")
    form.get_by_role("button", name="Rule it out").click()
    settled(page)
    page.locator("#sheet .reading summary").click()
    assert "little finger" not in page.inner_text("#sheet .reading")
    assert "finger P" in page.inner_text("#bar")


def test_the_version_before_is_set_beside_this_one(page: Any) -> None:
    slide(page, REACH, 0)
    now = cost(page)
    page.get_by_label("One", exact=True).select_option("now")
    page.get_by_label("The other", exact=True).select_option("before")
    page.locator("#beside-go").click()
    page.locator("#beside table.bars").wait_for()
    assert re.search(r"\d+ of 32 bars differ", page.inner_text("#beside"))
    page.locator("#beside").get_by_role("button", name=re.compile("^Take .before")).click()
    settled(page)
    assert cost(page) != now


def test_other_good_ways(page: Any) -> None:
    tune(page, "frost-on-the-allotments")
    page.locator("#beside-others").click()
    page.wait_for_function(
        "() => [...document.querySelectorAll('#beside-right option')]"
        ".some((one) => /another way/.test(one.text))"
    )
    page.locator("#beside-go").click()
    page.locator("#beside table.bars").wait_for()


def test_the_sound_is_followed_and_goes_round(page: Any) -> None:
    page.locator("#sheet .paper button.bar").nth(4).click()
    page.get_by_role("button", name="Round and round").click()
    page.locator("#play").click()
    page.locator("#sheet button.bar.is-sounding").wait_for()
    bars = page.locator("#sheet .paper button.bar")
    heard = [number for number in range(bars.count())
             if "is-sounding" in (bars.nth(number).get_attribute("class") or "")]  # fmt: skip
    assert heard == [4]
    page.wait_for_timeout(3500)
    assert "is-sounding" in (bars.nth(4).get_attribute("class") or "")
    page.locator("#play").click()
    page.wait_for_function("() => !document.querySelector('#sheet button.bar.is-sounding')")


def test_keys_play_and_can_be_turned_off(page: Any) -> None:
    page.locator("#sheet").focus()
    page.keyboard.press("p")
    page.locator("#sheet button.bar.is-sounding").wait_for()
    page.keyboard.press("p")
    page.wait_for_function("() => !document.querySelector('#sheet button.bar.is-sounding')")
    page.locator("#keys-on").uncheck()
    page.locator("#sheet").focus()
    page.keyboard.press("p")
    page.wait_for_timeout(1500)
    assert page.locator("#sheet button.bar.is-sounding").count() == 0
    page.locator("#keys-on").check()


def test_five_levels_and_a_handout(page: Any) -> None:
    tune(page, "frost-on-the-allotments")
    page.locator("#make-levels").click()
    page.locator("#levels .levels > li").nth(4).wait_for()
    assert re.search(r"proven", page.inner_text("#levels"), re.IGNORECASE)
    with page.expect_download() as made:
        page.locator("#handout").click()
    assert made.value.suggested_filename.endswith(".pdf")


def test_what_cannot_be_played_is_mended_by_a_click(page: Any) -> None:
    page.get_by_label("A tune that comes with Undersong").select_option("the-vicars-piano")
    mends = page.locator("#mends")
    mends.wait_for()
    first = mends.locator("button").first
    first.wait_for()
    first.click()
    page.wait_for_function("() => document.querySelector('#mends').hidden")
    settled(page)
    assert "Proven best" in page.inner_text("#sheet .verdict")
    page.locator("#undo").click()
    mends.wait_for()


@pytest.mark.parametrize("suffix", [".pdf", ".musicxml", ".wav", ".json"])
def test_files_are_kept(page: Any, suffix: str, tmp_path: Path) -> None:
    page.locator("#keep").get_by_label("As", exact=True).select_option(suffix)
    with page.expect_download() as made:
        page.locator("#download").click()
    assert made.value.suggested_filename == f"harrow-lane{suffix}"
    made.value.save_as(tmp_path / "file")
    assert (tmp_path / "file").stat().st_size > 1000


def test_her_work_is_saved_and_opened_next_year(
    page: Any, open_page: Callable[..., Any], desk: Served, tmp_path: Path
) -> None:
    slide(page, "The bass climbs above fret 4", 77)
    told = cost(page)
    with page.expect_download() as made:
        page.locator("#save").click()
    file = tmp_path / "work.json"
    made.value.save_as(file)
    other = open_page(desk)
    tune(other, "lantern-path")
    other.get_by_label("Open a file of your work").set_input_files(file)
    other.wait_for_function("() => document.querySelector('#title').textContent === 'Harrow Lane'")
    settled(other)
    assert cost(other) == told
    slider = other.locator("#wishes").get_by_label("The bass climbs above fret 4", exact=True)
    assert slider.input_value() == "77"
