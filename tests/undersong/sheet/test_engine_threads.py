"""Pages are engraved in whatever thread asks for them, one after another."""

from concurrent.futures import ThreadPoolExecutor

import undersong
from undersong.sheet.engraved import page_svg
from undersong.sheet.page_options import PageOptions


def test_every_thread_draws_the_same_page() -> None:
    arrangement = undersong.arrange("frost-on-the-allotments")
    here = page_svg(arrangement, PageOptions())
    for _ in range(3):
        with ThreadPoolExecutor(1) as other:
            there = other.submit(page_svg, arrangement, PageOptions()).result()
        assert there == here
