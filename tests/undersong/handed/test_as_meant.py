"""What players type otherwise than a tab has it: read as it is meant, and told; never silently."""

from dataclasses import replace

import pytest

from solver.style import Style
from tests.undersong.arranged import chart
from tests.undersong.handed.test_judging import GOOD
from undersong import Session, TabError, TabOrder, check_tab, text_tab
from undersong.handed.checking import Checked, checked
from undersong.handed.words import report

FOUR = chart("key: D\nmetre: 4/4\n| D | G | A7 | D |")
ROWS = [row[3:] for row in GOOD.strip().split("\n")]


def check(text: str, **settings: object) -> Checked:
    return check_tab(text, FOUR, **settings)  # type: ignore[arg-type]


# numbers of strings


@pytest.mark.parametrize("sign", ["", " ", ") ", ": "])
def test_numbers_of_strings_are_no_frets(sign: str) -> None:
    found = check("\n".join(f"{n}{sign}{row}" for n, row in zip("321", ROWS, strict=True)))
    assert found.sound
    assert len(found.tab.bars) == 4
    assert found.warnings == (
        "the numbers 3 2 1 before the first bar line are taken for the names of strings, not for "
        "frets; write a bar line before a fret",
    )


def test_they_may_count_from_the_top() -> None:
    turned = "\n".join(f"{n} {row}" for n, row in zip("123", reversed(ROWS), strict=True))
    found = check(turned, order=TabOrder(melody_on_top=True))
    assert found.sound
    assert "the numbers 1 2 3 before" in found.warnings[0]


@pytest.mark.parametrize("first", ["|3|", "3-|", "|-3-|"])
def test_a_pickup_is_no_number_of_a_string(first: str) -> None:
    rows = zip((first, first.replace("3", "2"), first.replace("3", "1")), ROWS, strict=True)
    found = check("\n".join(f"{one}{row}" for one, row in rows))
    assert len(found.tab.bars) == 5
    assert not [words for words in found.warnings if "names of strings" in words]


# halves


def test_six_and_a_half_in_three_signs() -> None:
    rows = (ROWS[0].replace("|-4---1", "|-4---6 1/2"), *ROWS[1:])
    found = check("\n".join(rows))
    told = "line 1, column 27: 6 1/2 is read as 6½; type that, or + for it"
    assert told in found.warnings
    assert [sign.fret for c in found.tab.bars[2].columns if (sign := c.strings[0])] == [7, 11]
    assert (
        check("D G A7 D\n0-0-2 3-1-0 6 1/2-2-3 0-0-2").tab.bars[0].columns[2].strings[0]
        == (check("D G A7 D\n0-0-2 3-1-0 6½-2-3 0-0-2").tab.bars[0].columns[2].strings[0])
    )


def test_a_slide_is_no_half() -> None:
    rows = (ROWS[0].replace("|-4---1---|", "|-4-3-1/2-|"), *ROWS[1:])
    found = check("\n".join(rows))
    assert not [words for words in found.warnings if "½" in words]


# no dash after the last number


@pytest.mark.parametrize(
    "bars", ["-0-4|-3-0|-4-1|-0-4", "-0--4|-3--0|-4--1|-0--4", "0-4|3-0|4-1|0-4"]
)
def test_equal_steps_are_equal_parts_without_a_dash_at_the_end(bars: str) -> None:
    """Two columns a bar, not this right hand's four: they stand at beats 1 and 3."""
    empty = "".join("|" if sign == "|" else "-" for sign in bars)
    found = check(f"|{bars}|\n|{empty}|\n|{empty}|")
    assert [one for one in found.findings if "after" in one.where] == []
    assert found.sound


# another key, another tune


def test_a_tab_in_another_key_is_told_which() -> None:
    higher = chart("key: E\nmetre: 4/4\n| E | A | B7 | E |")
    found = check_tab(GOOD, higher)
    (words,) = found.warnings
    assert words.startswith("in 4 of 4 bars there are notes that do not fit the tune as it stands")
    assert "with the tune 2 semitones lower (--transpose) all would fit" in words
    assert check_tab(GOOD, higher.transposed(-2)).sound


def test_the_tab_of_another_tune_is_asked_about() -> None:
    other = chart("key: C\nmetre: 4/4\n| Cm | Eb | F#m | Bbm |")
    (words,) = check_tab(GOOD, other).warnings
    assert "in 4 of 4 bars" in words
    assert "is it the tab of another tune, or for another --tuning?" in words


@pytest.mark.parametrize("manner", ["runs", "walking", "alternating-fourth"])
def test_what_passes_or_the_manner_takes_is_no_sign_of_another_tune(manner: str) -> None:
    """Our own pages: nearly every bar of a run has notes that its chord does not have."""
    session = Session("harrow-lane", style=Style(manner=manner))
    page = text_tab(session.arrange())
    assert checked(session, page).warnings == ()
    unsaid = page.replace("Bass   ", "Bas    ")  # as the head tells the manner otherwise
    for other in ("free", "roots"):
        asked = replace(session.style, manner=other)
        told = check_tab(unsaid, "harrow-lane", style=asked).warnings
        assert all("nearly all in the bass: is it for another --bass" in words for words in told)
    (words,) = check_tab(page, "three-odd-gloves", style=session.style).warnings
    assert "is it the tab of another tune, or for another --tuning?" in words
    (words,) = check_tab(page, session.tune.transposed(1), style=session.style).warnings
    assert "with the tune 1 semitone lower (--transpose)" in words


def test_one_wrong_bar_is_no_other_tune() -> None:
    wrong = GOOD.replace("|---3---3-|", "|---2---2-|")
    assert check(wrong).warnings == ()


# as e-mail has it


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace("\n", "\r\n"),
        lambda text: text.replace("-", "- "),
        lambda text: text.replace("-", " "),
        lambda text: "\n".join(f"\t{row}" for row in text.split("\n")),
        lambda text: "\n".join(f"> {row}" for row in text.split("\n")),
        lambda text: text.replace("-", "\u2013"),
        lambda text: text.replace("\n", "\n\n"),
        lambda text: (
            f"Hi all,\n\nhere it is (4 bars, 2 easy!):\n\n{text}\n\nSee you at 7\n-- \nJo\n"
        ),
    ],
)
def test_as_mail_programs_leave_it(change: object) -> None:
    text = "\n".join(ROWS)
    found = check(change(text))  # type: ignore[operator]
    assert (found.findings, found.warnings) == ((), ())
    assert found.sound


def test_nothing_is_read_from_a_letter_without_a_tab() -> None:
    with pytest.raises(TabError, match="no tab stands here"):
        check("Hi all,\n\nsee you at 7, half past at the latest.\n")


def test_what_is_told_is_on_the_page() -> None:
    page = report(check("\n".join(f"{n}{row}" for n, row in zip("321", ROWS, strict=True))))
    assert "  warning  the numbers 3 2 1 before the first bar line are taken" in page
