"""A folder that cannot be written is told where everybody sees it, for as long as it is so."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.undersong.desk.browser.conftest import picture, settled, tune
from tests.undersong.desk.browser.test_everybody import violations
from tests.undersong.desk.served import served


def test_what_cannot_be_kept_is_told_until_it_is(
    open_page: Callable[..., Any], tmp_path: Path
) -> None:
    folder = tmp_path / "works"
    folder.write_text("")
    with served(folder) as desk:
        page = open_page(desk, "phone")
        told = page.locator("#unkept")
        told.wait_for()
        box = told.bounding_box()
        assert box["width"] > 200
        assert box["height"] > 20
        assert "Your work cannot be kept" in told.inner_text()
        tune(page, "lantern-path")
        assert told.is_visible()
        assert violations(page) == []
        picture(page, "unkept")
        folder.unlink()
        tune(page, "harrow-lane")
        told.wait_for(state="hidden")
        assert len(list(folder.glob("*.json"))) == 1
        settled(page)
