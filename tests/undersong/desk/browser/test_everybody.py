"""For everybody: by keyboard alone, read aloud, at three widths, in light and dark, on paper.

Rules: WCAG 2.2 AA, as axe-core checks them.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.undersong.desk.browser.conftest import WIDTHS, cost, forget, picture, settled, tune
from tests.undersong.desk.served import Served

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def violations(page: Any) -> list[str]:
    """What axe finds wrong; the debugger runs its script, which no policy of the page stops."""
    from axe_playwright_python import sync_playwright as axe

    script = (Path(axe.__file__).parent / "axe.min.js").read_text(encoding="utf-8")
    page.evaluate(script)
    found = page.evaluate(
        "(tags) => axe.run(document, { runOnly: { type: 'tag', values: tags } })", TAGS
    )
    return [
        f"{one['id']}: {one['help']} ({one['nodes'][0]['html'][:120]})"
        for one in found["violations"]
    ]


def open_all(page: Any) -> None:
    page.evaluate(
        "() => document.querySelectorAll('details').forEach((one) => { one.open = true; })"
    )
    page.wait_for_timeout(200)


@pytest.mark.parametrize("size", list(WIDTHS))
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_view_follows_the_rules(
    open_page: Callable[..., Any], desk: Served, size: str, scheme: str
) -> None:
    forget(desk)
    page = open_page(desk, size, scheme)
    tune(page, "frost-on-the-allotments")
    picture(page, f"first-{size}-{scheme}")
    assert page.evaluate("document.documentElement.scrollWidth") <= WIDTHS[size][0]
    page.locator("#sheet .paper button.bar").nth(1).click()
    page.wait_for_function("() => /[\\d,]+ ms/.test(document.querySelector('#bar .why').innerText)")
    page.locator("#make-levels").click()
    page.locator("#levels .levels > li").nth(4).wait_for()
    page.locator("#beside-left").select_option("now")
    page.locator("#beside-right").select_option("level-1")
    page.locator("#beside-go").click()
    page.locator("#beside table.bars").wait_for()
    open_all(page)
    picture(page, f"all-{size}-{scheme}")
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= WIDTHS[size][0]


def test_what_cannot_be_played_follows_the_rules(page: Any) -> None:
    page.get_by_label("A tune that comes with Undersong").select_option("the-vicars-piano")
    page.locator("#mends").wait_for()
    page.locator("#mends button").first.wait_for()
    picture(page, "cannot")
    assert violations(page) == []


def test_a_setting_that_is_refused_follows_the_rules(page: Any) -> None:
    page.locator("#player summary", has_text="Instrument").click()
    control = page.locator("#player").get_by_label("Tuning", exact=True)
    control.fill("D-A")
    control.press("Enter")
    told = page.locator("#player .notice")
    told.wait_for()
    assert violations(page) == []
    described = str(control.get_attribute("aria-describedby")).split()
    assert told.get_attribute("id") in described


@pytest.mark.parametrize("size", list(WIDTHS))
def test_the_tab_key_goes_down_the_page(
    open_page: Callable[..., Any], desk: Served, size: str
) -> None:
    """Columns stand in the document as they do on the page (WCAG 2.2, 1.3.2 and 2.4.3), and the
    links to the parts in the order of the parts."""
    forget(desk)
    page = open_page(desk, size)
    columns = page.evaluate(
        """() => [...document.querySelectorAll('main > div')].map((one) => {
          const { left, top } = one.getBoundingClientRect();
          return [Math.round(top), Math.round(left)];
        })"""
    )
    assert columns[:3] == sorted(columns[:3])
    parts = page.evaluate(
        "() => [...document.querySelectorAll('main section')].map(({ id }) => `#${id}`)"
    )
    links = page.evaluate(
        "() => [...document.querySelectorAll('.jumps a')].map((one) => one.getAttribute('href'))"
    )
    assert links == [part for part in parts if part in links]


def focus(page: Any, selector: str, most: int = 200) -> None:
    """Tabs until that has the focus."""
    for _ in range(most):
        if page.evaluate("(s) => document.activeElement?.matches(s) ?? false", selector):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"the keyboard does not reach {selector}")


def test_the_main_job_by_keyboard_alone(page: Any) -> None:
    """A tune, a setting, a wish, a bar kept, heard, set side by side and downloaded."""
    page.evaluate("() => { document.activeElement?.blur(); scrollTo(0, 0); }")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    focus(page, "#tune select")
    page.keyboard.type("Frost")
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.querySelector('#title').textContent.includes('Frost')")
    settled(page)
    focus(page, "#player summary")
    page.keyboard.press("Enter")
    focus(page, "#player details[open] select")
    page.keyboard.press("ArrowDown")
    settled(page)
    focus(page, "#sheet button.bar")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    page.wait_for_function("() => /[\\d,]+ ms/.test(document.querySelector('#bar .why').innerText)")
    focus(page, "#play")
    page.keyboard.press("Enter")
    page.locator("#sheet button.bar.is-sounding").wait_for()
    page.keyboard.press("Enter")
    focus(page, "#keep-bar")
    page.keyboard.press("Enter")
    settled(page)
    before = cost(page)
    focus(page, "#wishes details[open] input[type=range]")
    for _ in range(60):
        page.keyboard.press("ArrowRight")
    settled(page)
    assert cost(page) != before
    focus(page, "#beside-go")
    page.keyboard.press("Enter")
    page.locator("#beside table.bars, #beside .tables p").first.wait_for()
    focus(page, "#download")
    with page.expect_download() as made:
        page.keyboard.press("Enter")
    assert made.value.suggested_filename.endswith(".pdf")


def test_the_bars_are_one_stop_of_the_tab_key(page: Any) -> None:
    assert page.locator("#sheet button.bar[tabindex='0']").count() == 1
    focus(page, "#sheet button.bar")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowDown")
    at = page.evaluate(
        "[...document.querySelectorAll('#sheet button.bar')].indexOf(document.activeElement)"
    )
    assert at == 5
    page.keyboard.press("Tab")
    assert not page.evaluate("document.activeElement.matches('button.bar')")
    page.keyboard.press("Shift+Tab")
    assert at == page.evaluate(
        "[...document.querySelectorAll('#sheet button.bar')].indexOf(document.activeElement)"
    )


def test_the_focus_can_be_seen(page: Any) -> None:
    focus(page, "#play")
    outline = page.evaluate("getComputedStyle(document.activeElement).outlineWidth")
    assert float(outline.removesuffix("px")) >= 2


def test_the_tab_is_read_bar_by_bar(page: Any) -> None:
    page.locator("#sheet .reading summary").click()
    rows = page.locator("#sheet .reading li").all_inner_texts()
    assert len(rows) == 32
    assert rows[0].startswith("Bar 1")
    assert all("fret" in row or "open" in row or "ring" in row for row in rows)


def test_on_paper_there_is_only_the_sheet(page: Any, tmp_path: Path) -> None:
    """Of the page's parts none is printed, but every line of the music, and the title."""
    lines = page.evaluate(
        "() => new Set([...document.querySelectorAll('#sheet button.bar')].map("
        "(one) => one.style.top)).size"
    )
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    for part in ("#tune", "#player", "#wishes", "#bar", "#listen", "#beside", "#keep", ".top"):
        assert not page.locator(part).is_visible(), part
    assert page.locator("#sheet .printed svg").count() == lines
    assert page.locator("#sheet .printed").inner_text().startswith("Harrow Lane")
    picture(page, "printed")
    page.emulate_media(media="screen")
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert page.locator("#sheet .printed").count() == 0


def test_nothing_moves_for_who_wants_no_motion(open_page: Callable[..., Any], desk: Served) -> None:
    forget(desk)
    page = open_page(desk, reduced_motion="reduce")
    assert page.evaluate("matchMedia('(prefers-reduced-motion: reduce)').matches")
    moving = page.evaluate(
        "() => document.getAnimations().filter((one) => one.playState === 'running').length"
    )
    assert moving == 0
