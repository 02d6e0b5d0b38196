"""Extra frets put in and taken out again.

TRADE.md, "Frets": 1+ 3, 6+ 11, 8+ 15, 13+ 23 semitones; 1½ and 8½ sometimes run under the melody
strings alone (S *Fret (this time)*).
"""

import pytest

from fretboard.errors import FretboardError
from fretboard.frets import EXTRA_FRETS, fret_semitones, is_extra
from fretboard.instrument import Course, Instrument
from fretboard.presets import instrument, instruments

SEMITONES = {"1+": 3, "6+": 11, "8+": 15, "13+": 23}


def test_the_extra_frets_of_the_trade_lie_where_trade_md_has_them() -> None:
    assert {label: fret_semitones(label) for label in EXTRA_FRETS} == SEMITONES
    assert [s for s in range(25) if is_extra(s)] == [1, 3, 6, 8, 11, 13, 15, 18, 20, 23]


def test_presets_made_from_one_another() -> None:
    """Each preset with extra frets under all courses is the traditional one with those put in."""
    bare = instrument("traditional")
    for name, added in (
        ("standard", ("6+",)),
        ("1+6+", ("6+", "1+")),
        ("6+13+", ("6+", "13+")),
        ("1+6+8+13+", EXTRA_FRETS),
    ):
        made = bare
        for label in added:
            made = made.with_fret(SEMITONES[label])
        assert made.courses == instrument(name).courses
        for label in reversed(added):
            made = made.without_fret(SEMITONES[label])
        assert made == bare


def test_what_each_preset_has_is_told_and_all_of_it_can_be_taken_out() -> None:
    for info in instruments():
        made = info.instrument
        told = {fret for course in made.courses for fret in course.frets if is_extra(fret)}
        assert set(made.extra_frets) == told
        for fret in made.extra_frets:
            made = made.without_fret(fret)
        bare = instrument("traditional").courses[0].frets
        assert {course.frets for course in made.courses} == {bare}


def test_a_partial_fret_is_completed_and_taken_out_whole() -> None:
    partial = instrument("partial-1+8+")
    assert [partial.has(course, 3) for course in range(3)] == [False, False, True]
    assert all(partial.with_fret(3).has(course, 3) for course in range(3))
    assert not any(partial.without_fret(3).has(course, 3) for course in range(3))
    assert partial.without_fret(3).has(2, 15), "8+ is another fret"


def test_a_new_fret_narrows_the_room_behind_the_next_one() -> None:
    bare = instrument("traditional")
    made = bare.with_fret(11)
    assert made.gap(2, 12) == bare.along(12) - bare.along(11) < bare.gap(2, 12)
    others = [fret for fret in bare.frets(2) if fret not in (0, 12)]
    assert [made.gap(2, fret) for fret in others] == [bare.gap(2, fret) for fret in others]


@pytest.mark.parametrize("change", ["with_fret", "without_fret"])
def test_a_whole_number_fret_is_neither_put_in_nor_taken_out(change: str) -> None:
    with pytest.raises(FretboardError, match=r"^7 is a whole-number fret"):
        getattr(instrument(), change)(12)


def test_what_cannot_be_says_so() -> None:
    short = Instrument(
        "short", tuple(Course(pitch, (2, 4, 5, 7, 9, 10, 12)) for pitch in (50, 57, 62))
    )
    with pytest.raises(FretboardError, match=r"no room for an extra fret 8\+.*end at 7"):
        short.with_fret(15)
    with pytest.raises(FretboardError, match=r"standard has no fret 1\+; its extra frets: 6\+"):
        instrument().without_fret(3)
    with pytest.raises(FretboardError, match="its extra frets: none"):
        instrument("traditional").without_fret(3)
    with pytest.raises(FretboardError, match=r"capo cannot sit at fret 6\+"):
        instrument(capo="6+").without_fret(11)
