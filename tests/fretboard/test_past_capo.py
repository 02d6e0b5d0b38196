"""Frets counted from the capo: by hand for what players say, and there and back for all."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fretboard.errors import FretboardError
from fretboard.frets import EXTRA_FRETS, fret_label, fret_semitones
from fretboard.instrument import Course, Instrument
from fretboard.presets import instrument, instruments

PRESETS = {info.name: info.instrument for info in instruments()}


def every_fret(strung: Instrument) -> list[int]:
    """The frets of any course from the capo up, in semitones above the nut."""
    return sorted({fret for course in range(len(strung.courses)) for fret in strung.frets(course)})


def capoed(strung: Instrument) -> list[Instrument]:
    """With a capo at every fret up to the fifth, and at 6+, where it can sit there."""
    made = []
    for fret in range(fret_semitones("6+") + 1):
        try:
            made.append(strung.with_capo(fret))
        except FretboardError:
            continue
    return made


@pytest.mark.parametrize(
    ("name", "capo", "from_nut", "from_capo"),
    [  # common practice, no source: the frets past the capo are counted, a half fret keeps its plus
        ("standard", "3", "3 4 5 6 6+ 7 8 9 10", "0 1 2 3 3+ 4 5 6 7"),
        ("standard", "1", "1 2 3 4 5 6 6+ 7 8", "0 1 2 3 4 5 5+ 6 7"),
        ("standard", "4", "4 5 6 6+ 7", "0 1 2 2+ 3"),
        ("standard", "6", "6 6+ 7 8", "0 0+ 1 2"),
        ("standard", "6+", "6+ 7 8 9", "0 1 2 3"),
        ("traditional", "6", "6 7 8", "0 1 2"),
        ("1+6+", "1", "1 1+ 2 3", "0 0+ 1 2"),
        ("1+6+", "1+", "1+ 2 3 6 6+", "0 1 2 5 5+"),
        ("1+6+8+13+", "3", "8 8+ 13 13+ 14", "5 5+ 10 10+ 11"),
        # semitones, named as from the nut
        ("chromatic", "1", "1 1+ 2 3 3+ 4 4+", "0 0+ 1 1+ 2 3 3+"),
        ("standard", "0", "0 1 2 3 4 5 6 6+ 7", "0 1 2 3 4 5 6 6+ 7"),
    ],
)
def test_frets_past_the_capo_are_counted(
    name: str, capo: str, from_nut: str, from_capo: str
) -> None:
    strung = instrument(name, capo=capo)
    frets = [fret_semitones(label) for label in from_nut.split()]
    assert [strung.label(fret, from_capo=True) for fret in frets] == from_capo.split()
    assert [strung.fret_of(label, from_capo=True) for label in from_capo.split()] == frets


@pytest.mark.parametrize("name", sorted(PRESETS))
def test_what_is_written_reads_back_wherever_the_capo_sits(name: str) -> None:
    places = capoed(PRESETS[name])
    assert {made.capo for made in places} >= {fret_semitones(str(n)) for n in range(6)}
    for strung in places:
        frets = every_fret(strung)
        labels = [strung.label(fret, from_capo=True) for fret in frets]
        assert len(set(labels)) == len(labels)
        assert [strung.fret_of(label, from_capo=True) for label in labels] == frets
        assert labels[0] == "0"


@given(
    st.sampled_from(sorted(set(PRESETS) - {"chromatic"})),
    st.sets(st.sampled_from(EXTRA_FRETS)),
    st.integers(0, 99),
)
def test_whole_frets_are_counted_without_a_gap(name: str, extra: set[str], which: int) -> None:
    strung = PRESETS[name]
    for label in extra:
        strung = strung.with_fret(fret_semitones(label))
    places = capoed(strung)
    strung = places[which % len(places)]
    frets = every_fret(strung)
    labels = {fret: strung.label(fret, from_capo=True) for fret in frets}
    whole = [fret for fret in frets[1:] if not fret_label(fret).endswith("+")]
    assert [labels[fret] for fret in whole] == [str(n) for n in range(1, len(whole) + 1)]
    below = "0"
    for fret in frets[1:]:
        if fret in whole:
            below = labels[fret]
        else:
            assert labels[fret] == f"{below}+"


def test_a_fretboard_with_a_gap_is_not_chromatic() -> None:
    assert instrument("chromatic").chromatic
    assert not any(made.chromatic for name, made in PRESETS.items() if name != "chromatic")
    partly = Instrument("mine", (Course(50, tuple(range(1, 13))),) * 2 + (Course(62, (2, 4, 5)),))
    assert not partly.chromatic


@pytest.mark.parametrize(
    ("capo", "typed", "says"),
    [
        ("4", "1+", "no fret 1+ from the capo at 4; from the nut: there is no fret 5+"),
        ("3", "19", "no fret 19 from the capo at 3; from the nut: fret 22 lies beyond"),
        ("6+", "0+", "the capo sits at fret 6+ itself; its open strings are 0"),
        ("3", "three", "is no fret number"),
        ("0", "2+", "there is no fret 2+"),
    ],
)
def test_what_is_no_fret_from_the_capo(capo: str, typed: str, says: str) -> None:
    with pytest.raises(FretboardError) as caught:
        instrument(capo=capo).fret_of(typed, from_capo=True)
    assert says in str(caught.value)


@given(st.sampled_from(sorted(PRESETS)), st.integers(0, 36), st.integers(0, 99))
def test_a_limit_keeps_its_number_wherever_the_capo_sits(name: str, limit: int, which: int) -> None:
    places = capoed(PRESETS[name])
    strung, label = places[which % len(places)], fret_label(limit)
    top = strung.up_to(label)
    if top == 36:  # the third octave, past which there is none
        assert strung.capo + limit >= 35
    else:
        assert strung.label(top, from_capo=True) in (label, label.rstrip("+"))
    assert strung.with_capo(0).up_to(label) == limit


def test_a_fret_behind_the_capo_has_no_number_from_it() -> None:
    with pytest.raises(FretboardError, match="cannot lie 3 semitones behind"):
        instrument(capo="3").label(2, from_capo=True)
