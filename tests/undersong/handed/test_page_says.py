"""A page of ours that is handed in beside other wishes than it was made with."""

import pytest

from fretboard.presets import instrument
from solver.righthand import right_hand
from solver.style import Style
from undersong import Session, text_tab
from undersong.handed.checking import checked
from undersong.handed.page_says import says_otherwise
from undersong.handed.tab import TabError
from undersong.sheet.options import SheetOptions

STANDARD = instrument()


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
    assert says_otherwise(page, style, STANDARD) == ()
    (told,) = says_otherwise(page, Style(), STANDARD)
    assert told == f"the page says that it was made with {options}; write that to have it so"


def test_the_check_passes_it_on_and_a_page_without_a_head_says_nothing() -> None:
    made = Session("harrow-lane", style=Style("runs")).arrange()
    page = text_tab(made)
    plain = Session("harrow-lane")
    assert any("made with --bass runs" in told for told in checked(plain, page).warnings)
    quoted = "".join(f"> {line}\n" for line in page.splitlines())
    assert any("made with --bass runs" in told for told in checked(plain, quoted).warnings)
    body = page[page.index("D3   |") :]
    assert says_otherwise(body, plain.style, STANDARD) == ()
    assert says_otherwise("Bass        tuba: loud\n" + body, plain.style, STANDARD) == ()


@pytest.mark.parametrize(
    ("tuning", "capo", "from_capo", "options"),
    [
        (None, "3", False, "--capo 3"),
        (None, "3", True, "--capo 3"),
        (None, "6+", False, "--capo 6+"),
        ("D3-A3-C4", "0", False, "--tuning D3-A3-C4"),
        ("D3-G3-D4", "1", False, "--tuning D3-G3-D4 --capo 1"),
        (None, "0", False, ""),
    ],
)
def test_a_page_made_on_other_strings_says_how(
    tuning: str | None, capo: str, from_capo: bool, options: str
) -> None:
    strings = instrument(tuning=tuning, capo=capo)
    for width in (80, 52):
        made = Session("harrow-lane", instrument=strings, style=Style("held")).arrange()
        page = text_tab(made, SheetOptions(width=width, from_capo=from_capo))
        assert says_otherwise(page, Style("held"), strings) == ()
        told = says_otherwise(page, Style("held"), STANDARD)
        assert bool(told) == bool(options)
        assert all(f" with {options}; " in one for one in told)


def test_a_page_that_cannot_be_read_without_its_capo_says_which_it_is() -> None:
    made = Session("lantern-path", instrument=instrument(capo="4"), style=Style("held")).arrange()
    page = text_tab(made, SheetOptions(from_capo=True))
    with pytest.raises(TabError) as refused:
        checked(Session("lantern-path", style=Style("held")), page.replace("-0-", "-2+-", 1))
    assert "there is no fret 2+" in str(refused.value)
    assert "made with --capo 4; write that" in str(refused.value)
