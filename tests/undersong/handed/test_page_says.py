"""A page of ours that is handed in beside other wishes than it was made with."""

import pytest

from solver.righthand import right_hand
from solver.style import Style
from undersong import Session, text_tab
from undersong.handed.checking import checked
from undersong.handed.page_says import says_otherwise


@pytest.mark.parametrize(
    ("style", "options"),
    [
        (Style("runs"), "--bass runs"),
        (Style("roots", right_hand("full-strum")), "--bass roots --right-hand full-strum"),
        (Style("figure", texture="bass"), "--texture bass --bass figure"),
        (Style(texture="solo"), "--texture solo"),
    ],
)
def test_a_page_made_otherwise_says_how(style: Style, options: str) -> None:
    page = text_tab(Session("kettle-on-at-nine", style=style).arrange())
    assert says_otherwise(page, style) == ()
    (told,) = says_otherwise(page, Style())
    assert told == f"the page says that it was made with {options}; write that to have it so"


def test_the_check_passes_it_on_and_a_page_without_a_head_says_nothing() -> None:
    made = Session("harrow-lane", style=Style("runs")).arrange()
    page = text_tab(made)
    plain = Session("harrow-lane")
    assert any("made with --bass runs" in told for told in checked(plain, page).warnings)
    quoted = "".join(f"> {line}\n" for line in page.splitlines())
    assert any("made with --bass runs" in told for told in checked(plain, quoted).warnings)
    body = page[page.index("D3   |") :]
    assert says_otherwise(body, plain.style) == ()
    assert says_otherwise("Bass        tuba: loud\n" + body, plain.style) == ()
