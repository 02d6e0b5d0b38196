"""What is played when: counted by hand at 100 quarters a minute, 0.6 s each, bars of 2.4 s."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from solver.result import Arrangement
from solver.style import Style
from tests.undersong.arranged import bundled, chart, found
from tests.undersong.passages import arranged
from tune.readers import read
from tune.tune import Tune
from undersong.sheet.errors import SheetError
from undersong.sound.passages import passage
from undersong.sound.plan import RING_OUT, Click, Pluck, plan_of
from undersong.sound.render import Rest, render_pieces
from undersong.sound.sound_options import SoundOptions
from undersong.sound.strings import RATE

BAR, BEAT = Fraction(12, 5), Fraction(3, 5)


def four_bars() -> Arrangement:
    """One bass note a bar: D, G, A, D."""
    tune = chart("key: D\nmetre: 4/4\n| D | G | A | D |")
    rows = ("0", "5", "7", "0")
    lines = "".join(
        f"{fret} x x | - - - | 100 | b-- | root\n" + f"{fret} x x | - - - | 100 | ---\n" * 3
        for fret in rows
    )
    return arranged(tune, Style(manner="roots"), lines)


def plucks(made: Arrangement, options: SoundOptions) -> list[tuple[Fraction, int]]:
    events = plan_of(made, options).events()
    return [(event.at, event.midi) for event in events if isinstance(event, Pluck)]


def clicks(made: Arrangement, options: SoundOptions) -> list[tuple[Fraction, bool]]:
    events = plan_of(made, options).events()
    return [(event.at, event.accent) for event in events if isinstance(event, Click)]


def test_as_it_stands() -> None:
    made = four_bars()
    assert plucks(made, SoundOptions()) == [(0, 50), (BAR, 55), (2 * BAR, 57), (3 * BAR, 50)]
    assert plan_of(made, SoundOptions()).seconds == 4 * BAR + RING_OUT


def test_notes_stop_with_the_next_and_the_last_rings_out() -> None:
    events = list(plan_of(four_bars(), SoundOptions()).events())
    assert [(e.stop, e.rings_out) for e in events if isinstance(e, Pluck)] == [
        (BAR, False), (2 * BAR, False), (3 * BAR, False), (4 * BAR + RING_OUT, True),
    ]  # fmt: skip


@pytest.mark.parametrize("options", [SoundOptions(tempo=50), SoundOptions(percent=50)])
def test_half_as_fast(options: SoundOptions) -> None:
    assert plucks(four_bars(), options)[1] == (2 * BAR, 55)


def test_a_bar_is_counted_in() -> None:
    options = SoundOptions(count_in=1)
    assert clicks(four_bars(), options) == [
        (0, True), (BEAT, False), (2 * BEAT, False), (3 * BEAT, False),
    ]  # fmt: skip
    assert plucks(four_bars(), options)[0] == (BAR, 50)


def test_before_a_pickup_its_missing_beats_are_counted_too(tmp_path: Path) -> None:
    made = found(read_abc('|:A|"D"d2 f2|"G"g3:|', tmp_path))
    lead = Fraction(3 * 60, 120)  # a pickup of a quarter in four: three of them, 0.5 s each
    options = SoundOptions(count_in=1, click=True)
    counted = clicks(made, options)
    assert [accent for _, accent in counted[:9]] == [
        True, False, False, False, True, False, False, False, True,
    ]  # fmt: skip
    assert counted[7][0] == 2 + lead
    assert counted[8][0] == 2 + lead + Fraction(1, 2)


def read_abc(body: str, folder: Path) -> Tune:
    file = folder / "pickup.abc"
    file.write_text(f"X:1\nT:Gate Left Open\nM:4/4\nL:1/4\nQ:1/4=120\nK:D\n{body}\n")
    return read(str(file))


def test_clicks_fall_on_every_felt_beat() -> None:
    made = bundled("kettle-on-at-nine")  # 6/8: two beats a bar
    ticks = clicks(made, SoundOptions(click=True, bars=(1, 2)))
    assert [accent for _, accent in ticks] == [True, False, True, False]


def test_loops_with_a_gap() -> None:
    options = SoundOptions(times=3, gap=2, bars=(2, 3))
    again = 2 * BAR + 2 * BEAT
    assert plucks(four_bars(), options) == [
        (n * again + at, midi) for n in range(3) for at, midi in ((0, 55), (BAR, 57))
    ]
    assert plan_of(four_bars(), options).seconds == 2 * again + 2 * BAR + RING_OUT
    assert len(clicks(four_bars(), replace(options, click=True))) == 3 * 8 + 2 * 2


def test_faster_each_time_up_to_a_tempo() -> None:
    options = SoundOptions(times=4, faster=50, up_to=180, count_in=1, bars=(2, 2))
    tempi = [100, 150, 180, 180]
    starts, now = [], Fraction(0)
    for number, tempo in enumerate(tempi):
        bar = BAR * 100 / tempo
        counted = bar if number == 0 or tempi[number - 1] != tempo else 0
        starts.append((now + counted, 55))
        now += counted + bar
    assert plucks(four_bars(), options) == starts
    assert plan_of(four_bars(), options).seconds == now + RING_OUT


def test_strings_by_choice() -> None:
    made = bundled("harrow-lane")
    courses = {
        name: {e.course for e in plan_of(made, options).events() if isinstance(e, Pluck)}
        for name, options in {
            "all": SoundOptions(),
            "only": SoundOptions(only=2),
            "without": SoundOptions(without=frozenset((0,))),
        }.items()
    }
    assert courses == {"all": {0, 1, 2}, "only": {2}, "without": {1, 2}}


def test_the_bass_string_alone_goes_an_octave_down() -> None:
    plain, low = (plucks(bundled("harrow-lane"), SoundOptions(bass_down=d)) for d in (False, True))
    events = plan_of(bundled("harrow-lane"), SoundOptions()).events()
    down = [12 if isinstance(e, Pluck) and e.course == 0 else 0 for e in events]
    assert [(at, midi - by) for (at, midi), by in zip(plain, down, strict=True)] == low


def test_the_singer_gets_her_note_first() -> None:
    made = bundled("harrow-lane")
    first = next(n.midi for bar in made.tune.bars for n in bar.notes if n.midi is not None)
    notes = plucks(made, SoundOptions(starting_note=True))
    assert notes[0] == (0, first)
    assert notes[1] == (Fraction(5, 2), plucks(made, SoundOptions())[0][1])


def test_passages_as_printed() -> None:
    # |: 1 2 :| 3 4: played 1 2 1 2 3 4
    tune = chart("key: D\nmetre: 4/4\n|: D | G :| A | D |")
    assert passage(tune, 1, 2) == (1, 2)
    assert passage(tune, 1, 2, 2) == (3, 4)
    assert passage(tune, 2, 3) == (4, 5)
    assert passage(tune, 2, 3, 1) == (2, 5)
    assert passage(tune, 4, 4) == (6, 6)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ((1, 9), "no bar 9; it has bars 1 to 4"),
        ((3, 2), "bar 2 comes before bar 3; write the lower bar first, 2-3"),
        ((2, 1), "bar 1 comes before bar 2"),  # though a repeat leads from one to the other
        ((1, 2, 3), "bar 1 is played 2 times; there is no time 3"),
    ],
)
def test_passages_that_are_none(asked: tuple[int, ...], says: str) -> None:
    tune = chart("key: D\nmetre: 4/4\n|: D | G :| A | D |")
    with pytest.raises(SheetError, match=says):
        passage(tune, *asked)


def test_a_time_through_that_does_not_lead_there() -> None:
    # bar 8 is the first ending, bar 9 the second
    tune = bundled("kettle-on-at-nine").tune
    assert passage(tune, 7, 8) == (7, 8)
    with pytest.raises(SheetError, match="bar 8 is not played after bar 7 time 2; name an earlier"):
        passage(tune, 7, 8, 2)


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"tempo": 0}, "between 10 and 400 beats a minute, not 0"),
        ({"percent": 5}, "between 10 and 400 percent, not 5"),
        ({"tempo": 80, "percent": 80}, "not in both"),
        ({"count_in": 9}, "0 to 8 bars"),
        ({"bars": (3, 2)}, "no passage"),
        ({"times": 0}, "1 to 999 times"),
        ({"gap": 4}, "more than once"),
        ({"times": 2, "gap": 65}, "0 to 64 beats"),
        ({"faster": 4}, "more than once"),
        ({"times": 2, "up_to": 90}, "number of beats"),
        ({"only": 1, "without": frozenset((0,))}, "not both"),
    ],
)
def test_options_that_cannot_be(fields: dict[str, object], says: str) -> None:
    with pytest.raises(SheetError, match=says):
        SoundOptions(**fields)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (SoundOptions(bars=(1, 5)), "has 4 bars; there is no bar 5"),
        (SoundOptions(only=3), "has 3 strings"),
        (SoundOptions(without=frozenset(range(3))), "every string is left out"),
        (SoundOptions(tempo=100, times=2, faster=5, up_to=90), "slower than the first"),
        (SoundOptions(starting_note=True), "no melody is sung"),
        (SoundOptions(times=999, tempo=10), "hours; ask for at most 4"),
    ],
)
def test_what_this_tune_cannot_do(options: SoundOptions, says: str) -> None:
    with pytest.raises(SheetError, match=says):
        plan_of(four_bars(), options)


def test_percent_of_a_tempo_that_leads_out_of_what_a_tempo_can_be() -> None:
    made = four_bars()
    with pytest.raises(SheetError, match="10 percent of 50 is 5"):
        plan_of(replace(made, tune=made.tune.at_tempo(50)), SoundOptions(percent=10))


def test_pieces_follow_each_other_with_rests() -> None:
    pieces = [SoundOptions(bars=(1, 1)), Rest(0.5), SoundOptions(bars=(2, 3), percent=50)]
    frames = sum(len(block) for block in render_pieces(four_bars(), pieces))
    assert frames == round((2.4 + 1.5 + 0.5 + 9.6 + 1.5) * RATE)
    with pytest.raises(SheetError, match="hours"):
        render_pieces(four_bars(), [Rest(14_000), Rest(14_000)])
    with pytest.raises(SheetError, match="there is no bar 9"):
        render_pieces(four_bars(), [SoundOptions(), SoundOptions(bars=(9, 9))])
