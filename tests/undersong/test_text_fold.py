"""Repeats on paper: as written where every time is played alike, else written out."""

from dataclasses import replace
from random import Random

from hypothesis import given, settings

from fretboard.grip import Grip
from fretboard.presets import instrument
from scoring.choice import Choice
from solver.conditions import Alike, Conditions
from solver.result import Arrangement
from solver.style import Style
from tests.undersong.arranged import arrangements, bundled, by_chance, chart
from tests.undersong.tab_page import play, read_page
from undersong.sheet.folding import WrittenOut, fold
from undersong.sheet.text import text_tab

TWICE = chart("key: D\nmetre: 4/4\nsection Verse, twice\n| D | G | A | D |")
ENDINGS = chart(
    "key: D\nmetre: 4/4\nsection Verse, 3 times\n| D | G |\n1, 2. | A |\n3. | D | D |\n"
    "section Tag\n| G |"
)
STYLE, STANDARD = Style(manner="roots"), instrument()


def alike(tune: object = TWICE, seed: int = 1) -> Arrangement:
    """Every time through with the same frets and fingers wherever a string is struck."""
    return by_chance(tune, STYLE, STANDARD, Random(seed), alike=1.0)  # type: ignore[arg-type]


def calm(arrangement: Arrangement) -> Arrangement:
    """The same, all strings stopped where they are not struck: no time through differs."""
    choices = []
    known: dict[tuple[int, int], Choice] = {}
    for moment, choice in zip(arrangement.moments, arrangement.choices, strict=True):
        struck = choice.struck
        frets = tuple(f if s else -1 for f, s in zip(choice.grip.frets, struck, strict=True))
        fingers = tuple(f if s else -1 for f, s in zip(choice.grip.fingers, struck, strict=True))
        quiet = Choice(Grip(frets, fingers, choice.grip.place), struck, choice.role)
        choices.append(known.setdefault((moment.written, moment.offset), quiet))
    return replace(arrangement, choices=tuple(choices))


def changed(arrangement: Arrangement, index: int, **grip: object) -> Arrangement:
    """Another grip at one moment."""
    choices = list(arrangement.choices)
    old = choices[index]
    choices[index] = replace(old, grip=replace(old.grip, **grip))  # type: ignore[arg-type]
    return replace(arrangement, choices=tuple(choices))


def test_a_repeat_played_alike_stands_once_with_its_signs() -> None:
    page = read_page(text_tab(calm(alike())))
    assert [bar.number for bar in page.bars] == ["1", "2", "3", "4"]
    assert [bar.opens for bar in page.bars] == [True, False, False, False]
    assert [bar.closes for bar in page.bars] == [False, False, False, True]
    assert [bar.number for bar in play(page.bars)] == list("12341234")


def test_another_finger_in_one_bar_has_the_passage_written_out_and_said() -> None:
    same = calm(alike())
    index = next(
        i
        for i, m in enumerate(same.moments)
        if m.bar == 7 and same.choices[i].struck[1] and same.choices[i].grip.fingers[1] >= 0
    )
    fingers = list(same.choices[index].grip.fingers)
    fingers[1] = (fingers[1] + 1) % 5
    other = changed(same, index, fingers=tuple(fingers))
    assert fold(other).written_out == (WrittenOut(first=0, last=3, differs=2),)
    text = text_tab(other)
    assert "since the hands differ: bars 1 to 4 (first in bar 3)." in text.replace("\n", " ")
    page = read_page(text)
    assert [bar.number for bar in page.bars] == list("12341234")
    assert [bar.heading for bar in page.bars if bar.heading] == [
        "Verse, 1st time",
        "Verse, 2nd time",
    ]
    assert not any(bar.opens or bar.closes for bar in page.bars)


def test_where_the_hand_waits_over_open_strings_is_not_on_the_page() -> None:
    same = calm(alike())
    assert not fold(changed(same, len(same.moments) - 1, place=7)).written_out


def test_endings_say_their_times_and_are_played_in_them() -> None:
    page = read_page(text_tab(calm(alike(ENDINGS))))
    assert [(bar.number, bar.endings) for bar in page.bars] == [
        ("1", ()), ("2", ()), ("3", (1, 2)), ("4", (3,)), ("5", ()), ("6", ()),
    ]  # fmt: skip
    assert [bar.number for bar in play(page.bars)] == list("12312312456")
    assert "3 (1st+2nd time)" in text_tab(calm(alike(ENDINGS)))


def test_more_than_twice_without_endings_is_said_at_the_sign() -> None:
    tune = chart("key: D\nmetre: 3/4\nsection Round, 4 times\n| D | A7 |")
    page = text_tab(calm(alike(tune)))
    assert "2 (4 times in all)" in page
    assert len(play(read_page(page).bars)) == 8


def test_what_rings_over_from_before_the_tune_is_no_difference() -> None:
    """The first time nothing sounded yet; the second time the last bar's strings ring on."""
    tune = chart("key: D\nmetre: 2/4\nsection Round, twice\n| D |")
    bare = calm(by_chance(tune, STYLE, STANDARD, Random(3)))
    first, second = (
        [i for i, moment in enumerate(bare.moments) if moment.bar == bar] for bar in (1, 2)
    )
    last = bare.choices[first[-1]].grip
    rings = changed(
        bare,
        second[0],
        frets=(bare.choices[second[0]].grip.frets[0], *last.frets[1:]),
        fingers=(bare.choices[second[0]].grip.fingers[0], *last.fingers[1:]),
    )
    assert rings.choices != bare.choices
    assert not fold(rings).written_out
    (bar,) = read_page(text_tab(rings)).bars
    assert bar.columns[0].sounds[1], "held over the repeat, the string is drawn as sounding"
    other = changed(rings, second[-1], frets=(-1, 23, 23), fingers=(-1, 0, 0))
    assert fold(other).written_out, "what is struck differently is a difference"


def test_passages_fold_or_do_not_each_for_itself() -> None:
    folding = fold(bundled("tallow-and-rush"))
    written = [bar.written for bar in folding.bars]
    out = {index for p in folding.written_out for index in range(p.first, p.last + 1)}
    for index in range(16):
        assert written.count(index) == (2 if index in out else 1)


@settings(max_examples=15, deadline=None)
@given(arrangements())
def test_every_played_bar_stands_for_itself_once(arrangement: Arrangement) -> None:
    folding = fold(arrangement)
    passes = sorted(number for bar in folding.bars for number in bar.passes)
    assert passes == [bar.number for bar in arrangement.tune.played]
    for bar in folding.bars:
        assert all(arrangement.tune.played[n - 1].written == bar.written for n in bar.passes)


@settings(max_examples=15, deadline=None)
@given(arrangements())
def test_bars_printed_once_are_struck_alike_each_time(arrangement: Arrangement) -> None:
    """Found without the folding's own comparison."""
    pairs = list(zip(arrangement.moments, arrangement.choices, strict=True))
    for bar in fold(arrangement).bars:
        times = [
            [
                (m.offset, c.role, c.struck, [
                    (f, g) for f, g, s in zip(c.grip.frets, c.grip.fingers, c.struck, strict=True)
                    if s
                ])
                for m, c in pairs
                if m.bar == number
            ]
            for number in bar.passes
        ]  # fmt: skip
        assert all(time == times[0] for time in times)


def test_alike_is_advised_only_where_it_is_not_asked_already() -> None:
    made = next(
        made for made in (by_chance(TWICE, STYLE, STANDARD, Random(seed)) for seed in range(9))
        if fold(made).written_out
    )  # fmt: skip
    advice = "--alike repeats asks for the same hands each time."
    assert advice in " ".join(text_tab(made).split())
    asked = replace(made, conditions=Conditions(alike=Alike("repeats", 5)))
    assert advice not in " ".join(text_tab(asked).split())
