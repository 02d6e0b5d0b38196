"""What is done between two tunes. Tunings and capos: tests/TRADE.md, "Tunings"."""

import pytest

from fretboard import presets
from fretboard.errors import FretboardError
from undersong.advice.retuning import retuned


def on(tuning, capo=0, name="standard"):
    return presets.instrument(name, tuning=tuning, capo=capo)


def test_nothing_is_to_be_done_between_two_tunes_alike():
    same = retuned(on("D-A-d", 1), on("D3 A3 D4", 1))
    assert same.nothing
    assert (same.strings, same.semitones, same.capo_moves, same.words()) == (0, 0, 0, ())
    assert same.caution() == ""


@pytest.mark.parametrize(
    ("before", "after", "by", "words"),
    [
        # D-A-d against the other tunings of TRADE.md, counted by hand
        ("D-A-d", "D-A-c", (0, 0, -2), ("melody string from D4 down to C4, 2 semitones",)),
        ("D-A-d", "D-A-A", (0, 0, -5), ("melody string from D4 down to A3, 5 semitones",)),
        ("D-A-d", "D-G-d", (0, -2, 0), ("middle string from A3 down to G3, 2 semitones",)),
        ("D-A-A", "D-A-c", (0, 0, 3), ("melody string from A3 up to C4, 3 semitones",)),
        (
            "D3 A3 D4",
            "C3 A3 C#4",
            (-2, 0, -1),
            (
                "bass string from D3 down to C3, 2 semitones",
                "melody string from D4 down to C#4, 1 semitone",
            ),
        ),
    ],
)
def test_strings_are_told_one_by_one(before, after, by, words):
    there = retuned(on(before), on(after))
    assert there.by == by
    assert there.words() == words
    assert there.strings == len(words)
    assert there.semitones == sum(map(abs, by))
    back = retuned(on(after), on(before))
    assert back.by == tuple(-each for each in by)
    assert (back.strings, back.semitones) == (there.strings, there.semitones)


def test_the_capo_is_off_while_strings_are_tuned():
    assert retuned(on("D-A-d"), on("D-A-d", 1)).words() == ("put the capo at fret 1",)
    assert retuned(on("D-A-d", 1), on("D-A-d")).words() == ("take the capo off fret 1",)
    assert retuned(on("D-A-d", 1), on("D-A-d", 3)).words() == (
        "move the capo from fret 1 to fret 3",
    )
    tuned = "melody string from D4 down to C4, 2 semitones"
    off, on_again = "take the capo off fret 1", "put the capo back at fret 1"
    assert retuned(on("D-A-d", 1), on("D-A-c", 1)).words() == (off, tuned, on_again)
    assert retuned(on("D-A-d", 1), on("D-A-c", 3)).words() == (off, tuned, "put the capo at fret 3")
    assert retuned(on("D-A-d"), on("D-A-c", 3)).words() == (tuned, "put the capo at fret 3")
    assert retuned(on("D-A-d", "6+"), on("D-A-d")).words() == ("take the capo off fret 6+",)


def test_more_than_a_whole_tone_up_is_told_and_a_whole_tone_is_not():
    assert retuned(on("D-A-d"), on("E3 B3 E4")).caution() == ""
    caution = retuned(on("D-A-d"), on("F3 A3 D4")).caution()
    assert caution.startswith("more than about a whole tone up: the bass string at F3 is 3")
    assert "check with the maker" in caution
    # strung for D-A-d: coming up from D-A-A is no strain, though it is a fourth
    assert retuned(on("D-A-A"), on("D-A-d"), on("D-A-d")).caution() == ""
    assert retuned(on("D-A-A"), on("D-A-d")).caution() != ""  # strung for A3, as far as known
    # a string that is far up already and stays there is not told again
    assert retuned(on("F3 A3 D4"), on("F3 A3 C4"), on("D-A-d")).caution() == ""


def test_strings_far_below_what_they_are_strung_for_are_told_as_slack():
    assert retuned(on("D-A-d"), on("C-G-c")).caution() == ""
    caution = retuned(on("D-A-d"), on("D-A-A")).caution()
    assert caution.startswith("slack: the melody string at A3 is 5 semitones below D4")
    assert "heavier string" in caution
    both = retuned(on("D-A-d"), on("A2 A3 F4")).caution()
    assert both.startswith("more than about a whole tone up")
    assert "; slack: the bass string at A2" in both


def test_a_pair_is_tuned_as_one_course():
    pair = presets.instrument("doubled")
    other = pair.with_tuning((*pair.tuning[:-1], pair.tuning[-1] - 2))
    assert retuned(pair, other).strings == 1
    assert "string pair from" in retuned(pair, other).words()[0]


def test_as_many_strings_before_as_after():
    four = presets.instrument("four-equidistant")
    with pytest.raises(FretboardError, match="as many strings"):
        retuned(on("D-A-d"), four)
