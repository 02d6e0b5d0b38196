"""Right-hand patterns: what the bundled ones strike, and a player's own file, good or bad.

The patterns are common practice, no source.
"""

from pathlib import Path

import pytest

from solver.errors import StyleError
from solver.righthand import STRINGS, RightHand, Stroke, right_hand, right_hands
from tune.time import QUARTER, Metre

ISSUE_METRES = ["2/2", "2/4", "3/4", "4/4", "6/8", "9/8", "12/8"]


def test_the_bundled_patterns_the_default_first() -> None:
    assert [hand.name for hand in right_hands()] == [
        "bass-then-strum", "damped-bass-then-strum", "full-strum", "bass-only", "broken",
    ]  # fmt: skip
    assert [hand.name for hand in right_hands() if hand.damped] == ["damped-bass-then-strum"]


@pytest.mark.parametrize("hand", right_hands(), ids=lambda hand: hand.name)
def test_every_pattern_knows_every_metre_and_begins_with_the_bass(hand: RightHand) -> None:
    assert [str(metre) for metre, _ in hand.bars] == ISSUE_METRES
    assert len(hand.meaning) > 10
    for metre, strokes in hand.bars:
        assert strokes[0].new_bass
        assert strokes[0].tick == 0
        half = [stroke.tick for stroke in strokes if stroke.new_bass][1:]
        # bass on the half bar where there is one, and nowhere else (alternation at the half bar)
        assert half == ([metre.bar // 2] if metre.felt_beats in (2, 4) else [])


@pytest.mark.parametrize(
    ("strings", "three", "four", "bass"),
    [
        ("bass", "b..", "b...", True),
        ("upper", ".um", ".uvm", False),
        ("bass+upper", "bum", "buvm", True),
        ("all", "bum", "buvm", False),
        ("middle", ".u.", ".u..", False),
        ("melody", "..m", "...m", False),
    ],
)
def test_what_a_stroke_strikes(strings: str, three: str, four: str, bass: bool) -> None:
    stroke = Stroke(0, strings)
    assert stroke.courses(3) == tuple(mark != "." for mark in three)
    assert stroke.courses(4) == tuple(mark != "." for mark in four)
    assert stroke.new_bass is bass


def test_every_kind_of_stroke_is_known() -> None:
    assert set(STRINGS) == {"bass", "upper", "bass+upper", "all", "middle", "melody"}


@pytest.mark.parametrize(
    ("name", "plays"), [("bass-only", "b.."), ("bass-then-strum", "bum"), ("broken", "bum")]
)
def test_the_strings_that_a_pattern_plays_at_all(name: str, plays: str) -> None:
    assert right_hand(name).plays(3) == tuple(mark != "." for mark in plays)


def test_the_default_in_four() -> None:
    strokes = right_hand("bass-then-strum").strokes(Metre(4, 4))
    assert [(s.tick // QUARTER, s.strings) for s in strokes] == [
        (0, "bass"), (1, "upper"), (2, "bass"), (3, "upper"),
    ]  # fmt: skip


def test_damping_changes_nothing_but_the_damping() -> None:
    assert right_hand("damped-bass-then-strum").bars == right_hand("bass-then-strum").bars


# A player's own file.


def own(tmp_path: Path, text: str) -> str:
    file = tmp_path / "mine.toml"
    file.write_text(text, encoding="utf-8")
    return str(file)


def test_a_file_of_ones_own(tmp_path: Path) -> None:
    name = own(
        tmp_path,
        '[slow-waltz]\nmeaning = "for beginners"\ndamped = true\n"3/4" = ["0 bass", " 3/2  all "]\n'
        '[another]\n"4/4" = ["0 bass+upper"]\n',
    )
    hand = right_hand(name)
    assert (hand.name, hand.meaning, hand.damped) == ("slow-waltz", "for beginners", True)
    assert hand.strokes(Metre(3, 4)) == (Stroke(0, "bass"), Stroke(QUARTER * 3 // 2, "all"))


def test_meaning_and_damping_may_be_left_out(tmp_path: Path) -> None:
    hand = right_hand(own(tmp_path, '[plain]\n"5/4" = ["0 bass"]\n'))
    assert (hand.meaning, hand.damped) == ("", False)
    assert hand.strokes(Metre(5, 4)) == (Stroke(0, "bass"),)


def test_a_metre_without_a_pattern() -> None:
    with pytest.raises(StyleError) as caught:
        right_hand("bass-only").strokes(Metre(5, 4))
    assert str(caught.value) == (
        "the right hand bass-only has no pattern for 5/4, only for "
        "2/2, 2/4, 3/4, 4/4, 6/8, 9/8, 12/8; write one in a file and name it with --right-hand "
        "('undersong own-files' shows how)"
    )


BEGIN = "strokes begin at 0, ascend, and stay within the bar"
NO_STROKE = "is not '<quarters> <strings>' with strings out of bass, upper, "

BAD = [
    ("", "no right hand stands in it; begin with [its-name]"),
    ("# nothing yet", "no right hand stands in it"),
    ("[x", "no valid TOML: "),
    ('[x]\n"4/4" = ["0 bass"]\n"4/4" = ["0 bass"]', "no valid TOML: "),
    ('meaning = "x"', "meaning stands outside a [right-hand] table"),
    ('"4/4" = ["0 bass"]', "4/4 stands outside a [right-hand] table"),
    ("[x]", "[x] has no pattern for any metre"),
    ('[x]\nmeaning = "only words"', "[x] has no pattern for any metre"),
    ('[x]\nmeaning = 3\n"4/4" = ["0 bass"]', "[x] takes meaning as text and damped as true or"),
    ('[x]\ndamped = "yes"\n"4/4" = ["0 bass"]', "[x] takes meaning as text and damped as true"),
    ('[x]\ndamped = 1\n"4/4" = ["0 bass"]', "[x] takes meaning as text and damped as true or"),
    ("[x]\nspeed = 3", "[x] has the unknown key 'speed'; write a metre as '4/4'"),
    ('[x]\n"4-4" = ["0 bass"]', "[x] has the unknown key '4-4'; write a metre as '4/4'"),
    ('[x]\n"4/4" = "0 bass"', "[x] has the unknown key '4/4'"),
    ('[x]\n"4/4" = []', f"[x] 4/4: {BEGIN}"),
    ('[x]\n"4/4" = ["1 bass"]', f"[x] 4/4: {BEGIN}"),
    ('[x]\n"4/4" = ["0 bass", "2 upper", "1 upper"]', f"[x] 4/4: {BEGIN}"),
    ('[x]\n"4/4" = ["0 bass", "0 upper"]', f"[x] 4/4: {BEGIN}"),
    ('[x]\n"4/4" = ["0 bass", "4 upper"]', f"[x] 4/4: {BEGIN}"),
    ('[x]\n"3/4" = ["0 bass", "3 upper"]', f"[x] 3/4: {BEGIN}"),
    ('[x]\n"4/4" = ["0 upper"]', "[x] 4/4: the first stroke must bring a bass note"),
    ('[x]\n"4/4" = ["0 all"]', "[x] 4/4: the first stroke must bring a bass note"),
    ('[x]\n"4/4" = ["0 treble"]', f"[x] 4/4: the stroke '0 treble' {NO_STROKE}"),
    ('[x]\n"4/4" = ["bass"]', f"[x] 4/4: the stroke 'bass' {NO_STROKE}"),
    ('[x]\n"4/4" = ["0bass"]', f"[x] 4/4: the stroke '0bass' {NO_STROKE}"),
    ('[x]\n"4/4" = ["-1 bass"]', f"[x] 4/4: the stroke '-1 bass' {NO_STROKE}"),
    ('[x]\n"4/4" = ["0.5 bass"]', f"[x] 4/4: the stroke '0.5 bass' {NO_STROKE}"),
    ('[x]\n"4/4" = ["1/0 bass"]', f"[x] 4/4: the stroke '1/0 bass' {NO_STROKE}"),
    ('[x]\n"4/4" = ["1/00 bass"]', f"[x] 4/4: the stroke '1/00 bass' {NO_STROKE}"),
    ('[x]\n"4/4" = [0]', f"[x] 4/4: the stroke 0 {NO_STROKE}"),
    ('[x]\n"4/4" = ["0 bass", ["1 upper"]]', f"[x] 4/4: the stroke ['1 upper'] {NO_STROKE}"),
    ('[x]\n"4/4" = ["0 bass", "1/11 upper"]', "[x] 4/4: "),
    ('[x]\n"4/3" = ["0 bass"]', "[x]"),
    ('[x]\n"0/4" = ["0 bass"]', "[x]"),
]


@pytest.mark.parametrize(("text", "sentence"), BAD)
def test_a_bad_file_is_told_where_and_what(tmp_path: Path, text: str, sentence: str) -> None:
    file = own(tmp_path, text)
    with pytest.raises(StyleError) as caught:
        right_hand(file)
    message = str(caught.value)
    assert message.startswith(f"{file}: ")
    assert sentence in message
    assert "\n" not in message


@pytest.mark.parametrize("name", ["strum", "", "Bass-only", "bass_only", "mine.tml"])
def test_an_unknown_name_is_told_the_names(name: str) -> None:
    with pytest.raises(StyleError) as caught:
        right_hand(name)
    assert str(caught.value) == (
        f"there is no right hand named {name!r}; the names are bass-then-strum, "
        "damped-bass-then-strum, full-strum, bass-only, broken, or give a .toml file"
    )


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    folder = tmp_path / "folder.toml"
    folder.mkdir()
    odd = tmp_path / "odd.toml"
    odd.write_bytes(b"\xff\xfe[x]")
    deep = tmp_path / "deep.toml"
    deep.write_text("x = " + "[" * 5000 + "]" * 5000)
    for file in (tmp_path / "none.toml", folder, odd, deep):
        with pytest.raises(StyleError) as caught:
            right_hand(str(file))
        assert str(caught.value).startswith(f"{file}: ")
