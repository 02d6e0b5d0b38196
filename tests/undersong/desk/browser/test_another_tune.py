"""Nothing of the tune before is shown or done under the name of the tune that is chosen now."""

import json
from pathlib import Path
from typing import Any

from tests.undersong.desk.browser.conftest import picture, settled, tune
from tests.undersong.desk.browser.test_choosing import title
from tests.undersong.desk.browser.test_working import choose_bar

VICAR = "the-vicars-piano"


def choose_what_cannot_be_played(page: Any) -> None:
    page.get_by_label("A tune that comes with Undersong").select_option(VICAR)
    page.locator("#mends button").first.wait_for()
    settled(page)


def test_a_tune_that_cannot_be_played_shows_nothing_of_the_one_before(page: Any) -> None:
    choose_bar(page, 2)
    choose_what_cannot_be_played(page)
    picture(page, "vicar")
    assert title(page) == "The Vicar's Piano"
    assert page.title().startswith("The Vicar's Piano")
    assert page.inner_text("#about") == ""
    assert not page.locator("#sheet .paper").is_visible()
    assert "ms of hand work" not in page.inner_text("#sheet")
    assert "There is no answer to this tune yet" in page.inner_text("#sheet .verdict")
    assert page.locator("#bar .why").inner_text() == ""
    assert page.locator("#which-bar option").count() == 1
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert page.locator("#sheet .printed").count() == 0
    page.locator("#undo").click()
    settled(page)
    assert title(page) == "Harrow Lane"
    assert page.locator("#sheet .paper").is_visible()
    assert "hardest bar" in page.inner_text("#about")


def test_a_tune_that_cannot_be_played_does_nothing_with_the_one_before(
    page: Any, tmp_path: Path
) -> None:
    choose_what_cannot_be_played(page)
    page.locator("#download").click()
    page.locator("#keep .notice", has_text="There is no answer to this tune yet").wait_for()
    page.locator("#play").click()
    assert page.inner_text("#what-plays") == "There is nothing to play yet."
    assert page.locator("#play").inner_text() == "Play"
    assert page.locator("#beside-go").is_disabled()
    assert "now, as on the page" not in page.locator("#beside-left").inner_text()
    with page.expect_download() as made:
        page.locator("#save").click()
    assert made.value.suggested_filename == "the-vicar-s-piano-work.json"
    made.value.save_as(tmp_path / "work.json")
    saved = json.loads((tmp_path / "work.json").read_text())
    assert (saved["work"]["tune"], saved["answer"]) == ({"bundled": VICAR}, None)


def test_sound_and_tables_end_with_their_tune(page: Any) -> None:
    page.locator("#beside-right").select_option("level-1")
    page.locator("#beside-go").click()
    page.locator("#beside table.bars").wait_for()
    page.locator("#play").click()
    page.locator("#sheet button.bar.is-sounding").wait_for()
    tune(page, "lantern-path")
    assert page.locator("#play").inner_text() == "Play"
    assert page.locator("#beside table").count() == 0
    assert page.locator("#beside").get_by_role("button", name="Take").count() == 0
    assert page.locator("#sheet .paper").is_visible()
    assert page.locator("#beside-left").input_value() == "now"


def test_levels_are_those_of_the_tune_on_the_page(page: Any) -> None:
    """Of another tune none can be taken; with their tune they come back."""
    page.locator("#make-levels").click()
    page.locator("#levels .levels > li").nth(4).wait_for()
    taking = page.locator("#levels").get_by_role("button", name="Take level")
    assert taking.count() > 1
    tune(page, "frost-on-the-allotments")
    picture(page, "levels-of-another")
    assert not page.locator("#levels .levels").is_visible()
    assert taking.count() == 0
    assert not page.locator("#levels .notice").first.is_visible()
    assert page.locator("#make-levels").inner_text() == "Make the levels"
    with page.expect_download() as download:
        page.locator("#handout").click()
    assert download.value.suggested_filename == "frost-on-the-allotments-levels.pdf"
    taking.first.click()
    settled(page)
    assert title(page) == "Frost on the Allotments"


def test_levels_come_back_with_their_tune(page: Any) -> None:
    page.locator("#make-levels").click()
    page.locator("#levels .levels > li").nth(4).wait_for()
    tune(page, "lantern-path")
    assert not page.locator("#levels .levels").is_visible()
    page.locator("#undo").click()
    settled(page)
    assert page.locator("#levels .levels").is_visible()
    page.locator("#levels").get_by_role("button", name="Take level 1").click()
    settled(page)
    assert title(page) == "Harrow Lane"
