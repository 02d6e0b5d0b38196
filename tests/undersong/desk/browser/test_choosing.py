"""Choosing a tune, a player and wishes, as a person does it."""

import re
from pathlib import Path
from typing import Any

import pytest

from tests.undersong.desk.browser.conftest import cost, picture, settled, tune
from tests.undersong.desk.browser.test_everybody import open_all, violations

ABC = """X:1
T:The Kettle Song
M:4/4
L:1/4
K:D
"D"d f a f|"G"g b g e|"A"a a e e|"D"d4|
"""


def title(page: Any) -> str:
    return str(page.inner_text("#title"))


def test_a_bundled_tune(page: Any) -> None:
    tune(page, "lantern-path")
    assert title(page) == "Lantern Path"
    assert "Proven best" in page.inner_text("#sheet .verdict")


def test_a_file_that_is_chosen(page: Any, tmp_path: Path) -> None:
    file = tmp_path / "kettle.abc"
    file.write_text(ABC)
    page.get_by_label("A file of yours").set_input_files(file)
    page.wait_for_function("() => document.querySelector('#title').textContent.includes('Kettle')")
    settled(page)
    assert "Proven best" in page.inner_text("#sheet .verdict")


def test_a_file_that_is_dropped(page: Any) -> None:
    page.evaluate(
        """(text) => {
          const given = new DataTransfer();
          given.items.add(new File([text], 'kettle.abc'));
          document.body.dispatchEvent(
            new DragEvent('drop', { dataTransfer: given, bubbles: true, cancelable: true }));
        }""",
        ABC,
    )
    page.wait_for_function("() => document.querySelector('#title').textContent.includes('Kettle')")
    settled(page)  # or its work would be kept after the next test has begun


def test_a_file_of_several_tunes_is_asked_about(page: Any, tmp_path: Path) -> None:
    file = tmp_path / "lamps.abc"
    file.write_text(ABC + "\n" + ABC.replace("X:1", "X:2").replace("Kettle", "Lamp"))
    page.get_by_label("A file of yours").set_input_files(file)
    which = page.get_by_label("Which tune of the file")
    which.wait_for()
    assert "2 tunes" in page.inner_text("#tune .notice")
    assert title(page) == "Harrow Lane"
    which.fill("2")
    which.press("Enter")
    page.wait_for_function("() => document.querySelector('#title').textContent.includes('Lamp')")
    settled(page)
    assert "Proven best" in page.inner_text("#sheet .verdict")
    assert not page.locator("#tune .notice").is_visible()


def test_chords_are_proposed_for_a_bare_melody_in_one_step(page: Any, tmp_path: Path) -> None:
    file = tmp_path / "bare.abc"
    file.write_text(re.sub(r'"[^"]*"', "", ABC))
    page.get_by_label("A file of yours").set_input_files(file)
    page.wait_for_function("() => document.querySelector('#title').textContent.includes('Kettle')")
    settled(page)
    assert page.get_by_label("Chords", exact=True).input_value() == "proposed"
    page.locator("#undo").click()
    settled(page)
    assert title(page) == "Harrow Lane"


def test_a_file_that_is_no_tune(page: Any, tmp_path: Path) -> None:
    file = tmp_path / "letter.abc"
    file.write_bytes(b"\x00\x01\x02")
    page.get_by_label("A file of yours").set_input_files(file)
    told = page.locator("#tune .notice")
    told.wait_for()
    assert "letter.abc" in told.inner_text()
    assert title(page) == "Harrow Lane"


@pytest.mark.parametrize(
    ("name", "content", "begins"),
    [
        ("broken.musicxml", "<score-partwise><part", "broken.musicxml, line 1"),
        ("empty.abc", "", "empty.abc: the file is empty"),
        ("my own tune.abc", "nothing", "my own tune.abc"),
    ],
)
def test_a_file_keeps_its_own_name(
    page: Any, tmp_path: Path, name: str, content: str, begins: str
) -> None:
    file = tmp_path / name
    file.write_text(content)
    page.get_by_label("A file of yours").set_input_files(file)
    told = page.locator("#tune .notice").first
    told.wait_for()
    assert told.inner_text().startswith(begins)
    other = tmp_path / "my letter.json"
    other.write_text("Dear all")
    page.get_by_label("Open a file of your work").set_input_files(other)
    page.locator("#keep .notice").wait_for()
    assert page.inner_text("#keep .notice").startswith("my letter.json: this is no file")


def test_a_chart_is_read_while_it_is_typed(page: Any) -> None:
    page.get_by_text("Type a chord chart").click()
    text = page.get_by_label("Type chords")
    text.fill("title: Tea at Four\nkey: D\nmetre: 4/4\n\n| D | Hm |\n")
    page.wait_for_function(
        "() => document.querySelector('#chart').ariaInvalid === 'true' || "
        "document.querySelector('#chart').getAttribute('aria-invalid') === 'true'"
    )
    told = page.locator("#tune .chart-told").first.inner_text()
    assert told.startswith("Line 5, bar 2")
    assert page.locator("#tune .line-numbers .wrong").first.inner_text().strip() == "5"
    text.fill("title: Tea at Four\nkey: D\nmetre: 4/4\n\n| D | Bm | G | A |\n")
    page.get_by_role("button", name="Use these chords").first.click()
    page.wait_for_function("() => document.querySelector('#title').textContent.includes('Tea')")
    settled(page)
    assert "4 bars" in page.inner_text("#tune .facts")


def test_every_setting_asks_anew(page: Any) -> None:
    for name in ("Instrument", "Hand", "What is played", "What is to learn"):
        page.locator("#player summary", has_text=re.compile(f"^{name}")).click()
    changes = [
        ("Instrument", "select", "1+6+"), ("Tuning", "type", "D-A-A"),
        ("Capo at fret", "type", "1"),
        ("Hand", "type", "190mm"), ("Texture", "select", "bass"), ("Level", "select", "3"),
        ("How the bass goes", "select", "roots"), ("Right hand", "select", "full-strum"),
        ("Alike", "select", "repeats"), ("At most", "type", "3 shifts"),
    ]  # fmt: skip
    for name, how, value in changes:
        before = page.inner_text("#undo-words")
        control = page.locator("#player").get_by_label(name, exact=True)
        if how == "select":
            control.select_option(value)
        else:
            control.fill(value)
            control.press("Enter")
        page.wait_for_function("(was) => document.querySelector('#undo-words').textContent !== was",
                               arg=before)  # fmt: skip
    settled(page)
    assert "What this answer was asked for" in page.inner_text("#sheet")
    page.get_by_text("What this answer was asked for").click()
    asked = page.inner_text("#sheet dl")
    for word in ("1+6+", "D3 A3 A3", "span 190 mm", "bass", "full-strum", "alike", "3 shifts"):
        assert word in asked


def test_the_caution_stands_where_the_hand_is_set(page: Any) -> None:
    assert "not medical advice" in page.inner_text("#player .caution")


def test_a_setting_that_cannot_be_is_told_and_taken_back(page: Any) -> None:
    page.locator("#player summary", has_text=re.compile("^Instrument")).click()
    control = page.locator("#player").get_by_label("Tuning", exact=True)
    control.fill("D-A")
    control.press("Enter")
    told = page.locator("#player .notice")
    told.wait_for()
    assert "two" in told.inner_text() or "2 pitches" in told.inner_text()
    assert control.get_attribute("aria-invalid") == "true"
    assert "Not what you ask for now" in page.inner_text("#sheet .verdict")
    page.locator("#undo").click()
    settled(page)
    assert not told.is_visible()
    assert "Proven best" in page.inner_text("#sheet .verdict")


@pytest.mark.parametrize(
    ("name", "written", "limits"),
    [
        ("Tempo, beats a minute", "-5", "10 to 400"),
        ("Tempo, beats a minute", "3", "10 to 400"),
        ("Semitones up or down", "99", "-24 to 24"),
        ("Semitones up or down", "1.5", "-24 to 24"),
        ("At most so many shapes", "0", "1 to 999"),
        ("the bass climbs above fret 4, in ms", "999999", "0 to 100000"),
    ],
)
def test_a_number_that_cannot_be_is_told_at_its_field(
    page: Any, name: str, written: str, limits: str
) -> None:
    """It stays where it was written, marked as wrong (WCAG 2.2, 3.3.1), and changes nothing."""
    open_all(page)
    before = cost(page)
    control = page.get_by_label(name, exact=True)
    usual = control.input_value()
    control.fill(written)
    control.press("Tab")
    told = page.locator(".notice", has_text="is not taken")
    told.wait_for()
    picture(page, "number")
    assert told.inner_text() == f"{written} is not taken: write a whole number from {limits}."
    assert (control.input_value(), control.get_attribute("aria-invalid")) == (written, "true")
    assert str(told.get_attribute("id")) in str(control.get_attribute("aria-describedby")).split()
    assert str(told.get_attribute("id")) == f"{control.get_attribute('id')}-told"
    gap = told.bounding_box()["y"] - control.bounding_box()["y"]
    assert 0 < gap < 200
    assert violations(page) == []
    settled(page)
    assert cost(page) == before
    control.fill(usual)
    control.press("Tab")
    told.wait_for(state="detached")
    assert control.get_attribute("aria-invalid") is None


def slide(page: Any, name: str, value: int) -> None:
    """Moves a wish's slider as the keyboard would."""
    slider = page.locator("#wishes").get_by_label(name, exact=True)
    slider.evaluate(
        """(one, value) => {
          one.value = String(value);
          one.dispatchEvent(new Event('input', { bubbles: true }));
          one.dispatchEvent(new Event('change', { bubbles: true }));
        }""",
        value,
    )
    settled(page)


REACH = "Fingers reach beyond the hand's comfort"


def test_a_slider_asks_anew_and_tells_what_changed(page: Any) -> None:
    before = cost(page)
    slide(page, REACH, 0)
    assert cost(page) < before
    changed = page.locator("#sheet .changes")
    assert changed.is_visible()
    marked = page.locator("#sheet button.bar.is-changed").count()
    assert marked > 0
    changed.locator("summary").click()
    assert "became" in changed.inner_text()
    page.get_by_text("An easy reach").click()
    page.get_by_label(f"{REACH}: as usual").click()
    settled(page)
    assert cost(page) == before


def test_one_step_back_takes_back_a_whole_move(page: Any) -> None:
    before = cost(page)
    slider = page.locator("#wishes").get_by_label("The bass climbs above fret 4", exact=True)
    slider.evaluate(
        """(one) => {
          for (const value of [30, 60, 90]) {
            one.value = String(value);
            one.dispatchEvent(new Event('input', { bubbles: true }));
          }
          one.dispatchEvent(new Event('change', { bubbles: true }));
        }"""
    )
    settled(page)
    assert "90 ms" in page.inner_text("#undo-words")
    page.locator("#undo").click()
    settled(page)
    assert cost(page) == before
    assert slider.input_value() == "15"
    page.locator("#redo").click()
    settled(page)
    assert slider.input_value() == "90"


def reading(page: Any) -> list[str]:
    """What each played bar says."""
    return [str(words) for words in page.locator("#sheet .reading li").all_text_contents()]


def test_changes_are_told_from_where_the_whole_move_began(page: Any) -> None:
    page.evaluate("() => { Date.now = () => 1; }")  # however slow the machine, it is one move
    before = reading(page)
    slide(page, "A finger is put down", 60)
    slide(page, REACH, 0)  # another move
    between = reading(page)
    assert between != before
    for value in (60, 120, 200):
        slide(page, "A finger is put down", value)
    different = sum(one != other for one, other in zip(between, reading(page), strict=True))
    assert different
    assert page.inner_text("#sheet .changes summary") == f"{different} bars changed"


def test_what_comes_of_a_change_is_told_where_the_page_is_out_of_sight(page: Any) -> None:
    foot = page.locator(".foot")
    assert not foot.is_visible()
    slide(page, REACH, 0)
    assert not foot.is_visible()
    page.locator("#keep").scroll_into_view_if_needed()
    slide(page, REACH, 200)
    foot.get_by_text("changed").wait_for()
    foot.get_by_role("link", name="See the page").click()
    foot.wait_for(state="hidden")
    assert page.locator("#sheet .verdict").is_visible()


def test_all_wishes_as_usual(page: Any) -> None:
    before = cost(page)
    slide(page, "The bass climbs above fret 4", 60)
    slide(page, "The bass repeats its note where it should move", 40)
    page.get_by_role("button", name="All wishes as usual").click()
    settled(page)
    assert cost(page) == before
