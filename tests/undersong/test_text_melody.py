"""A solo whose melody goes to the bass string says so, where, how high and why."""

import re

from fretboard.presets import instrument
from solver.style import Style
from undersong.session import Session
from undersong.sheet.engraved import page_svg
from undersong.sheet.options import SheetOptions
from undersong.sheet.page_options import PageOptions
from undersong.sheet.text import text_tab
from undersong.sheet.text_melody import melody_words

SOLO = Style(texture="solo")


def test_notes_that_the_melody_string_does_not_have() -> None:
    """In D-A-A with 6+ alone there is no C above the melody string's A3: it would lie on 1+ or 8+
    (TRADE.md, Frets: semitones 3 and 15). On the bass string C5 is fret 13, 22 semitones."""
    made = Session("mending-weather", instrument=instrument(tuning="D-A-A"), style=SOLO).arrange()
    page = " ".join(text_tab(made).split())
    told = (
        "The melody goes to the bass string in bars 4-5, 7, 9, 11, 14-15, up to fret 13, since the "
        "melody string does not have these notes."
    )
    assert told == melody_words(made)
    assert told in page


def test_a_note_below_the_melody_string() -> None:
    """C4 lies below D4, and is no fret of the middle A3 either: on the bass string it is fret 6."""
    made = Session("mending-weather", style=SOLO).arrange()
    assert melody_words(made) == (
        "The melody goes to the bass string in bar 14, up to fret 6, since the melody string does "
        "not have this note."
    )


def test_the_fret_is_counted_as_the_page_counts() -> None:
    """Past a capo at 3, fret 6+ is 3+ (common practice, no source)."""
    options, look = SheetOptions(from_capo=True), PageOptions(from_capo=True)
    made = Session("harrow-lane", instrument=instrument(capo="3"), style=SOLO).arrange()
    assert "in bar 7, up to fret 6+, since" in melody_words(made)
    assert "in bar 7, up to fret 3+, since" in " ".join(text_tab(made, options).split())
    drawn = " ".join(re.sub(r"<[^>]*>", " ", page_svg(made, look).decode()).split())
    assert "in bar 7, up to fret 3+, since" in drawn


def test_nothing_is_said_where_the_bass_string_has_no_melody() -> None:
    assert melody_words(Session("kettle-on-at-nine", style=SOLO).arrange()) == ""
    assert melody_words(Session("mending-weather").arrange()) == ""
