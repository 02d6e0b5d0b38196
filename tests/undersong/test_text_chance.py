"""The text tab of arrangements put together by chance: any metre, repeats, instrument, width."""

from hypothesis import given, settings
from hypothesis import strategies as st

from solver.result import Arrangement
from tests.undersong.arranged import arrangements
from tests.undersong.tab_page import read_page
from tests.undersong.test_text import assert_page_is
from undersong.sheet.options import SheetOptions
from undersong.sheet.text import text_tab

OPTIONS = st.builds(
    SheetOptions,
    bass_on_top=st.booleans(),
    from_capo=st.booleans(),
    width=st.sampled_from((40, 64, 80, 120)),
)


@settings(max_examples=30, deadline=None)
@given(arrangements(), OPTIONS)
def test_any_page_is_plain_and_no_wider_than_asked(
    arrangement: Arrangement, options: SheetOptions
) -> None:
    page = text_tab(arrangement, options)
    assert page.isascii()
    assert page.endswith("\n")
    assert max(map(len, page.split("\n"))) <= options.width
    assert not any(row.endswith(" ") for row in page.split("\n"))
    assert "\n\n\n" not in page


@settings(max_examples=30, deadline=None)
@given(arrangements(), OPTIONS)
def test_any_page_played_back_is_the_arrangement(
    arrangement: Arrangement, options: SheetOptions
) -> None:
    assert_page_is(arrangement, options)


@settings(max_examples=15, deadline=None)
@given(arrangements())
def test_drawn_lines_change_nothing_but_the_signs(arrangement: Arrangement) -> None:
    plain = text_tab(arrangement).split("\n")
    drawn = text_tab(arrangement, SheetOptions(unicode=True)).translate(
        str.maketrans("─·│♯♭", "-.|#b")
    )
    start = next(n for n, row in enumerate(plain) if row.startswith("Right hand"))
    assert drawn.split("\n")[start:] == plain[start:]


@settings(max_examples=15, deadline=None)
@given(arrangements())
def test_lines_hold_four_bars_or_fewer_and_a_pickup(arrangement: Arrangement) -> None:
    page = read_page(text_tab(arrangement))
    assert max(page.per_line) <= 6  # four, a pickup before them, an ending after them
