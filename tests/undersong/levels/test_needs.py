"""Why a level is not met and what would do: each change that is told is made, and one by less."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from fretboard.frets import fret_semitones
from fretboard.presets import instrument
from scoring.weights import Weights
from solver.conditions import NONE
from solver.errors import NotPlayable
from solver.result import Arrangement
from solver.style import Style
from solver.watch import OutOfTime, Stopped, Watch
from tests.undersong.levels.judging import SHORT, judged, rated
from tests.undersong.running import run
from undersong.levels import Level, levels_for, reasons
from undersong.levels.needs import nearest
from undersong.levels.version import Demands, Solved, Version
from undersong.rated import Rater
from undersong.session import Session
from undersong.tempo_within import rated_at

STANDARD = instrument()


def test_a_level_that_cannot_be_met_says_why_and_the_others_come_out(lamps: Path) -> None:
    levels = list(levels_for("song"))
    levels[0] = replace(levels[0], fingers=0)
    found = Session(lamps).levels(levels)
    assert len(judged(found)) == 4
    first = found.made[0]
    assert "'no finger down'" in first.why
    assert first.nearest
    assert "fingers down at once" in first.nearest[0] or "1 finger" in first.nearest[0]


@pytest.mark.parametrize(
    "level",
    [
        Level(1, "x", "held", time=20, barred=False),
        Level(1, "x", "held", fingers=1, time=20, barred=False),
        Level(1, "x", "held", fingers=1, reach=60, barred=False),
        Level(1, "x", "alternating", time=20),
        Level(1, "x", "roots", fingers=0, highest=7),
        Level(1, "x", "held", highest=5, barred=False),
        Level(1, "x", "held", time=20, highest=5, barred=False),
    ],
)
def test_what_would_do_does_and_no_less_does(level: Level, tmp_path: Path) -> None:
    """Why a level cannot be is what one arrangement within its caps is refused with. Each change
    told is made, and the change by one less; so is the greatest change of every other cap."""
    file = tmp_path / "quick.abc"
    file.write_text(SHORT.replace("=100", "=320"), encoding="utf-8")

    def met(name: str, value: object) -> bool:
        return bool(Session(file).levels((replace(level, **{name: value}),)).met)  # type: ignore[arg-type]

    (made,) = Session(file).levels((level,)).made
    asked = replace(NONE, limits=level.limits(STANDARD))
    with pytest.raises(NotPlayable) as refused:
        Session(file, style=level.style(Style(), STANDARD)).arrange(conditions=asked)
    assert made.why == str(refused.value)
    told = " ".join(made.nearest)
    for name, words, top in (
        ("fingers", r"with (\d+) fingers? down", 5),
        ("reach", r"of (\d+) % of the hand", 1000),
        ("time", r"need (\d+) % of their time", 1000),
        ("highest", r"fret (\d+\+?)", 36),
    ):
        if getattr(level, name) is None:
            continue
        least = re.search(words, told)
        assert met(name, top) == (least is not None), name
        if least is not None:
            value = fret_semitones(least[1]) if name == "highest" else int(least[1])
            assert met(name, value)
            assert not met(name, value - 1)
    if not level.barred:
        assert met("barred", True) == ("laid across" in told)


def test_a_harder_version_is_made_harder_where_an_easier_one_needs_it(lamps: Path) -> None:
    """The harder level holds its hands still; the easier has to move, so the harder must be at
    least as hard there; where it cannot be, the easier says so and is given up."""
    easier, harder = Level(1, "Runs.", "runs"), Level(2, "The root held.", "held", fingers=1)
    found = Session(lamps).levels((easier, harder))
    assert len(judged(found)) == 2
    assert found.rounds == 2
    assert found.made[1].raised == (2, 3)
    assert found.cost > found.bound
    found = Session(lamps).levels((easier, replace(harder, time=10)))
    assert len(judged(found)) == 1
    why, near = found.made[0].why, found.made[0].nearest
    told = re.fullmatch(
        r"no bar may be harder than on level 2 \(bar 3: (\d+) % at least here, (\d+) % at most "
        r"there\)",
        why,
    )
    assert told is not None, why
    needed, reached = map(int, told.groups())
    assert reached < needed <= max(rated(only(lamps, easier)).values())
    assert near == ("it can without harder levels",)


def only(tune: Path | str, level: Level) -> Arrangement:
    (one,) = Session(tune).levels((level,)).met
    assert one.arrangement is not None
    return one.arrangement


def test_a_level_that_needs_more_shifts_says_how_many() -> None:
    """Bar 7 of this bundled tune cannot be held with one shift of the hand."""
    found = Session("biscuit-tin-stomp").levels((replace(levels_for("song")[0], shifts=0),))
    assert found.met == ()
    assert "at most 0 shifts a bar" in found.made[0].why
    assert re.search(
        r"with (\d+) shifts of the hand a bar \(shifts = \1\)$", found.made[0].nearest[0]
    )


QUICK = """X:1
T:Both Kettles at Once
M:4/4
L:1/8
Q:1/4=140
K:D
"D"EAEA EAEA|"A7"EAEA "D"d4|]
"""


def test_no_level_is_made_harder_than_the_hand_for_an_easier_ones_sake(tmp_path: Path) -> None:
    """On one string the melody leaps a fourth on every quaver, which is beyond the hand; crossing
    to the middle string it is not."""
    (tmp_path / "quick.abc").write_text(QUICK, encoding="utf-8")
    session = Session(tmp_path / "quick.abc", style=Style(texture="solo"))
    found = session.levels()
    judged(found)
    assert [one.level.number for one in found.met] == [2, 3, 4, 5]
    assert all(max(one.ratings.values()) <= 100 for one in found.met)
    gone = found.made[0]
    assert "more than all that this hand can do" in gone.why
    told = {
        int(bar): int(percent) for percent, bar in re.findall(r"(\d+) % in bar (\d+)", gone.why)
    }
    alone = session.levels(levels_for("solo")[:1]).made[0]
    assert set(told) == {1, 2}
    assert all(100 < percent <= alone.ratings[bar] for bar, percent in told.items())
    said = re.fullmatch(r"its own best is within the hand at 1/4 = (\d+)", gone.nearest[0])
    assert said is not None
    assert alone.arrangement is not None
    for tempo, within in ((int(said[1]), True), (int(said[1]) + 1, False)):
        slower = rated_at(alone.arrangement, tempo)
        assert all(bar.rating <= 100 for bar in slower.bars) is within


def test_a_level_beyond_the_hand_says_so_and_at_which_tempo_it_is_not(tmp_path: Path) -> None:
    (tmp_path / "quick.abc").write_text(QUICK, encoding="utf-8")
    ended = run("levels", str(tmp_path / "quick.abc"), "--texture", "solo", "--only", "1")
    told = " ".join(ended.out.split())
    assert "open and ringing. Beyond 100 %: bars 1-2. " in told
    assert "fingers put down takes it beyond. With the frets and fingers shown, 1/4 = " in told


@pytest.mark.parametrize(("whole", "met"), [(False, [1, 2, 4, 5]), (True, [4, 5])])
def test_a_level_for_which_there_is_no_time_does_not_cost_the_others(
    lamps: Path, monkeypatch: pytest.MonkeyPatch, whole: bool, met: list[int]
) -> None:
    """Level 3 takes all of its own time, or all there is."""
    watch, found_in = Watch(), Version.solve

    def solve(self: Version, asked: Demands, share: Watch) -> Solved:
        if self.level.number != 3:
            return found_in(self, asked, share)
        assert share.seconds < 0.6 * watch.seconds
        watch.seconds -= whole * watch.left
        raise OutOfTime("its time is over")

    with monkeypatch.context() as patched:
        patched.setattr(Version, "solve", solve)
        found = Session(lamps).levels(watch=watch)
    judged(found)
    assert [one.level.number for one in found.met] == met
    late = [one for one in found.made if one.arrangement is None]
    assert all(one.out_of_time for one in late)
    told = reasons(found)[-1]
    assert told.startswith("level 3 is not met: no way to play it that is in no bar harder than on")
    assert "level 4 was found in the time there was" in told


def test_a_search_for_what_would_do_ends_with_its_time() -> None:
    """Silence would say that nothing does."""
    session = Session("lantern-path")
    level = replace(levels_for("song")[0], fingers=0)
    own = session.in_style(level.style(session.style, session.instrument))
    rater = Rater(session.instrument, session.hand)
    version = Version(level, own, NONE, Weights(), frozenset(), rater)
    assert nearest(version, own, Watch())
    with pytest.raises(OutOfTime):
        nearest(
            version, session.in_style(level.style(session.style, session.instrument)), Watch(0.0)
        )
    stopped = Watch()
    stopped.stop.now()
    with pytest.raises(Stopped):
        nearest(version, own, stopped)
