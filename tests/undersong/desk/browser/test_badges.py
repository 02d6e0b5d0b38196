"""What stands at a changed and at a kept bar covers nothing of the music and its counts."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.undersong.desk.browser.conftest import forget, picture, settled
from tests.undersong.desk.browser.test_choosing import REACH, slide
from tests.undersong.desk.browser.test_working import choose_bar
from tests.undersong.desk.served import Served

BADGES = """() => {
  const inked = [...document.querySelectorAll('#sheet .paper svg text')]
    .filter((one) => one.textContent.trim()).map((one) => one.getBoundingClientRect());
  const found = [];
  for (const [part, badge] of [['.is-changed', '::before'], ['.is-kept', '::after']]) {
    for (const bar of document.querySelectorAll(`#sheet button.bar${part}`)) {
      const box = bar.getBoundingClientRect();
      const style = getComputedStyle(bar, badge);
      const size = (name) => parseFloat(style[name]);
      const left = box.left + bar.clientLeft + size('left');
      const top = box.top + bar.clientTop + size('top');
      const right = left + size('width');
      const bottom = top + size('height');
      found.push({ words: style.content, width: right - left, height: bottom - top,
        covers: inked.filter((one) => one.left < right - 1 && one.right > left + 1 &&
          one.top < bottom - 1 && one.bottom > top + 1).length });
    }
  }
  return found;
}"""
"""Where each lies, and over how many words and figures of the drawing."""


@pytest.mark.parametrize("size", ["wide", "tablet", "phone"])
@pytest.mark.parametrize("instrument", ["standard", "four-equidistant"])
def test_what_marks_a_bar_covers_no_count(
    open_page: Callable[..., Any], desk: Served, size: str, instrument: str
) -> None:
    forget(desk)
    page = open_page(desk, size)
    page.locator("#player summary", has_text="Instrument").click()
    page.locator("#player").get_by_label("Instrument", exact=True).select_option(instrument)
    settled(page)
    choose_bar(page, 2)
    page.locator("#keep-bar").click()
    settled(page)
    slide(page, REACH, 200)
    if not page.locator("#sheet button.bar.is-changed").count():
        slide(page, REACH, 0)
    picture(page, f"badges-{size}-{instrument}")
    badges = page.evaluate(BADGES)
    assert {'"changed"', '"kept"'} == {one["words"] for one in badges}
    assert all(one["width"] > 15 and one["height"] > 5 for one in badges)
    assert [one for one in badges if one["covers"]] == []
