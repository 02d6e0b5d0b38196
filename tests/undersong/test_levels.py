"""Levels: nested bar by bar, each within its caps, worded by what is counted.

Nesting and caps are judged by the checker's and the scoring room's figures, never by the search's.
"""

import itertools
import re
from dataclasses import replace
from pathlib import Path

import pytest

import corpus
from fretboard.frets import fret_semitones
from fretboard.presets import hand, instrument
from scoring.difficulty import bar_difficulties
from scoring.weights import Weights
from solver import search
from solver.bass_part import usual_bass_ceiling
from solver.conditions import NONE
from solver.conditions.alike import Alike
from solver.conditions.bars import WHOLE
from solver.conditions.few_shapes import LearnedShape, learned
from solver.conditions.pinned import Barred, Fingering
from solver.conditions.pins import Pin
from solver.errors import NotPlayable
from solver.proof import prove
from solver.question import Found, Question
from solver.result import UNPROVEN, Arrangement
from solver.style import Style, manners_in
from solver.watch import OutOfTime, Stopped, Watch
from tests.scoring.plain_difficulty import plain_bars
from tests.undersong.running import run
from undersong.api import read_tune
from undersong.check import check
from undersong.check.conditions import lies_across_anew
from undersong.compared import figures
from undersong.levels import (
    Level,
    LevelSet,
    Made,
    levels_for,
    read_levels,
    reasons,
    steps_of,
    why_not,
)
from undersong.levels.fingerings import settled, settling
from undersong.levels.needs import nearest
from undersong.levels.version import Demands, Solved, Version
from undersong.rated import Rater, rated_bars
from undersong.session import Session
from undersong.sheet.document import from_json
from undersong.tempo_within import rated_at

SHORT = """X:1
T:Lamps Along the Lane
M:4/4
L:1/4
Q:1/4=100
K:D
|:"D"d2 A2|"G"B2 d2|"A7"c2 e2|"D"d4:|
"""


@pytest.fixture(scope="module")
def lamps(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("lamps") / "lamps.abc"
    file.write_text(SHORT, encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def five(lamps: Path) -> LevelSet:
    return Session(lamps).levels()


def rated(made: Arrangement) -> dict[int, int]:
    return bar_difficulties(made.choices, made.moments, made.instrument, made.hand)


def judged(found: LevelSet) -> list[Arrangement]:
    """The versions that came out, nested and within their caps by what can be counted."""
    versions = [one.arrangement for one in found.made if one.arrangement is not None]
    for one, made in zip(found.met, versions, strict=True):
        assert check(made) == ()
        within_its_caps(one.level, made)
    for easier, harder in itertools.pairwise(versions):
        above = rated(harder)
        for bar, percent in rated(easier).items():
            assert percent <= above.get(bar, 0), (found, bar)
    assert found.bound <= found.cost
    for one in found.made:
        assert (one.arrangement is None) == bool(one.why)
    return versions


def within_its_caps(level: Level, made: Arrangement) -> None:
    assert made.style.manner == level.bass
    capo = made.instrument.capo
    for choice in made.choices:
        grip = choice.grip
        stopped = [finger for finger in grip.fingers if finger >= 0]
        if level.fingers is not None:
            assert len(set(stopped)) <= level.fingers
        if level.highest is not None:
            assert max(grip.frets) <= capo + level.highest
        assert not {"TIMRP".index(letter) for letter in level.unused} & set(stopped)
        if not level.barred:
            assert len(set(stopped)) == len(stopped)
    if level.shifts is not None:
        shifted: dict[int, int] = {}
        for moment, amounts in zip(made.moments, made.bill.amounts, strict=True):
            shifted[moment.bar] = shifted.get(moment.bar, 0) + (amounts.get("hand-shift", 0) > 0)
        assert max(shifted.values()) <= level.shifts


def test_no_version_is_called_proven_unless_the_solver_says_optimal(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[Found] = []

    def unsure(*args: object, **named: object) -> Found:
        asked.append(prove(*args, **named))  # type: ignore[arg-type]
        return replace(asked[-1], optimal=False)

    monkeypatch.setattr(search, "prove", unsure)
    made = Session(read_tune("kettle-on-at-nine")).levels()
    assert len(asked) == len(made.met) > 3
    assert all(each.optimal for each in asked)
    assert not made.proven
    assert {one.arrangement.proof.status for one in made.met if one.arrangement} == {UNPROVEN}


def test_a_version_that_the_solver_finds_otherwise_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def other(*args: object, **named: object) -> Found:
        found = prove(*args, **named)  # type: ignore[arg-type]
        return replace(found, nodes=(*found.nodes[:-1], found.nodes[-1] ^ 1))

    monkeypatch.setattr(search, "prove", other)
    with pytest.raises(RuntimeError, match="not the one that the exact pass found"):
        Session(read_tune("kettle-on-at-nine")).levels()


def test_what_the_solver_was_asked_already_is_not_asked_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[int] = []

    def unsure(question: Question, *args: object, **named: object) -> Found:
        asked.append(len(question.moments))
        found = prove(question, *args, **named)  # type: ignore[arg-type]
        return replace(found, optimal=False)  # as where time ended: another may be found later

    monkeypatch.setattr(search, "prove", unsure)
    session, level = Session("kettle-on-at-nine"), levels_for("song")[-1]
    own = session.in_style(level.style(session.style))
    asks = replace(NONE, alike=Alike("repeats"))
    version = Version(level, own, asks, Weights(), frozenset(), Rater(own.instrument, own.hand))
    solved = version.solve(Demands({}, {}), Watch())
    before = len(asked)
    assert before
    assert version.proven(solved, Watch()) is solved.answer
    assert len(asked) == before


def test_five_levels_nested(five: LevelSet) -> None:
    versions = judged(five)
    assert len(versions) == 5
    assert five.proven
    assert [made.style.manner for made in versions] == [
        "held", "roots", "alternating", "walking", "runs",
    ]  # fmt: skip
    assert sum(made.asked_cost for made in versions) == five.cost


def test_each_is_the_best_under_the_next(five: LevelSet, lamps: Path) -> None:
    """Asked for by itself with what it was to hold, each costs the same."""
    for one in five.met:
        made = one.arrangement
        assert made is not None
        session = Session(lamps, style=made.style)
        assert session.arrange(made.weights, made.conditions).cost == made.cost
        assert one.alone is not None
        assert one.alone <= made.cost


def test_ratings_are_counted_as_the_scoring_room_counts_them(five: LevelSet) -> None:
    first = five.met[0].arrangement
    assert first is not None
    alike = Rater(first.instrument, first.hand)  # which recalls what others had
    for one in five.met:
        made = one.arrangement
        assert made is not None
        asked = made.choices, made.moments, made.instrument, made.hand
        assert rated_bars(*asked)[0] == bar_difficulties(*asked) == plain_bars(*asked)
        for rater in (Rater(*asked[2:]), alike, alike):
            assert rater.bars(*asked[:2]) == rated_bars(*asked)


def test_what_changes_is_counted(five: LevelSet) -> None:
    steps = steps_of(five)
    assert [(step.lower, step.higher) for step in steps] == [(1, 2), (2, 3), (3, 4), (4, 5)]
    words = [str(step) for step in steps]
    assert words[0].startswith("Level 1 to 2: the root is struck on every bass beat")
    assert "the bass goes root and fifth in turn (bars" in words[1]
    assert "the bass walks" in words[2]
    assert "the bass runs into new chords" in words[3]
    for told in words:
        assert "the greatest step up in difficulty is bar " in told
        assert not re.search(r"bar \d+(?: \(.*?\))? stay as", told)  # one bar stays
        assert not re.search(r"bars [^;]*? stays as", told)
        for widest, before in re.findall(r"is now (\d+) % of .*?, before (\d+) %", told):
            assert int(widest) > int(before)
    versions = [one.arrangement for one in five.met]
    for step, lower, higher in zip(steps, versions[:-1], versions[1:], strict=True):
        assert lower is not None
        assert higher is not None
        frets = [
            {
                (m.bar, m.offset): (c.grip.frets, c.struck)
                for m, c in zip(made.moments, made.choices, strict=True)
            }
            for made in (lower, higher)
        ]
        for (bar, offset), sound in frets[0].items():
            if bar in step.same:
                assert frets[1][bar, offset] == sound


def fingerings(made: Arrangement) -> list[int]:
    """In how many ways each shape's frets are fingered."""
    ways: dict[tuple[int | None, ...], set[object]] = {}
    for choice in made.choices:
        shape = learned(choice.grip)
        if shape is not None:
            ways.setdefault(shape.frets, set()).add(shape.fingers)
    return [len(fingered) for fingered in ways.values()]


def test_the_first_levels_have_one_fingering_for_a_shape(five: LevelSet) -> None:
    for one in five.met[:2]:
        assert one.level.one_fingering
        assert one.arrangement is not None
        assert set(fingerings(one.arrangement)) == {1}
    assert not any(one.level.one_fingering for one in five.met[2:])


def test_one_fingering_is_settled_on_the_one_played_most() -> None:
    """This tune's first level has shapes with several fingerings, else the test says nothing."""
    level = levels_for("song")[0]
    session = Session("mending-weather")
    (loose,) = session.levels((replace(level, one_fingering=False),)).met
    (one,) = session.levels((level,)).met
    assert loose.arrangement is not None
    assert one.arrangement is not None
    assert sum(many > 1 for many in fingerings(loose.arrangement)) > 1
    assert sum(many > 1 for many in fingerings(one.arrangement)) <= 1
    assert one.arrangement.cost >= loose.arrangement.cost
    assert check(one.arrangement) == ()
    pins = settled(loose.arrangement.choices)
    assert len(pins) == sum(many > 1 for many in fingerings(loose.arrangement))
    assert (
        settled(
            loose.arrangement.choices,
            [
                LearnedShape(pin.pinned.shape.frets)
                for pin, *_ in pins
                if isinstance(pin.pinned, Fingering)
            ],
        )
        == ()
    )


def test_what_cannot_be_settled_together_is_settled_one_by_one() -> None:
    one, two, three = (
        Pin(WHOLE, Fingering(LearnedShape((fret, None, None), (0, None, None))))
        for fret in (2, 4, 5)
    )

    def solve(pins: tuple[Pin, ...]) -> frozenset[Pin] | None:
        return None if two in pins else frozenset(pins)

    def still(found: frozenset[Pin]) -> list[tuple[Pin, ...]]:
        return [(pin,) for pin in (one, two, three) if pin not in found]

    assert settling(frozenset(), still, solve) == {one, three}

    def either(found: frozenset[Pin]) -> list[tuple[Pin, ...]]:
        """The second may be played as the third is."""
        return [ways for ways in ((one,), (two, three)) if not found & set(ways)]

    assert settling(frozenset(), either, solve) == {one, three}


def test_closer_to_the_next_costs_more_and_differs_less(five: LevelSet, lamps: Path) -> None:
    close = Session(lamps).levels(close=400)
    judged(close)
    assert other_frets(close) <= other_frets(five)
    work = sum(one.arrangement.cost for one in close.met if one.arrangement is not None)
    assert work >= five.bound


def other_frets(found: LevelSet) -> int:
    """Strings with other frets than in the next version, where both strike something at once."""
    count = 0
    versions = [one.arrangement for one in found.met]
    for lower, higher in itertools.pairwise(versions):
        assert lower is not None
        assert higher is not None
        there = {
            (m.bar, m.offset): c.grip.frets
            for m, c in zip(higher.moments, higher.choices, strict=True)
            if any(c.struck)
        }
        for moment, choice in zip(lower.moments, lower.choices, strict=True):
            frets = there.get((moment.bar, moment.offset), choice.grip.frets)
            count += sum(a != b for a, b in zip(frets, choice.grip.frets, strict=True))
    return count


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
    asked = replace(NONE, limits=level.limits(0))
    with pytest.raises(NotPlayable) as refused:
        Session(file, style=level.style(Style())).arrange(conditions=asked)
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


def test_levels_that_can_be_met_by_themselves_are_met_together() -> None:
    """A part on the whole bass string: shifts are few on the easy levels, so that a bar may have to
    be harder than the next level would choose, for the sake of the shifts in it."""
    tune = Session("harrow-lane").tune
    ceiling = usual_bass_ceiling(tune, instrument("standard"))
    style = Style(texture="bass", manner="held", bass_ceiling=ceiling)
    found = Session(tune, style=style).levels()
    assert len(judged(found)) == 5
    assert found.proven


def test_a_level_that_needs_more_shifts_says_how_many() -> None:
    """Bar 7 of this bundled tune cannot be held with one shift of the hand."""
    found = Session("biscuit-tin-stomp").levels((replace(levels_for("song")[0], shifts=0),))
    assert found.met == ()
    assert "at most 0 shifts a bar" in found.made[0].why
    assert re.search(
        r"with (\d+) shifts of the hand a bar \(shifts = \1\)$", found.made[0].nearest[0]
    )


def test_fingers_that_stay_up_do_so_where_the_melody_sounds_alone(tmp_path: Path) -> None:
    file = tmp_path / "gate.abc"
    file.write_text(
        'X:1\nT:Gate Left Open\nM:4/4\nL:1/4\nQ:1/4=60\nK:D\n"D"d2 A2|"N.C."e2 f2|"D"d4|\n',
        encoding="utf-8",
    )
    level = Level(1, "One finger.", "held", unused=("T", "M", "R", "P"))
    session = Session(file, style=Style(texture="solo"))
    (made,) = judged(session.levels((level,)))
    alone = [
        choice
        for moment, choice in zip(made.moments, made.choices, strict=True)
        if moment.chord is None and not moment.quiet
    ]
    assert any(finger >= 0 for choice in alone for finger in choice.grip.fingers)


def test_what_is_asked_of_the_tune_is_asked_of_every_version(lamps: Path) -> None:
    conditions = replace(NONE, pins=(Pin(WHOLE, Barred(), forbid=True),))
    for made in judged(Session(lamps).levels(conditions=conditions)):
        grips = [None, *(choice.grip for choice in made.choices)]
        pairs = itertools.pairwise(grips)
        assert not any(lies_across_anew(one, two) for one, two in pairs if two is not None)


def test_bundled_levels_go_with_their_texture() -> None:
    for texture in ("song", "solo", "bass", "drone"):
        levels = levels_for(texture)
        assert 1 <= len(levels) <= 5
        for number, level in enumerate(levels, 1):
            assert level.number == number
            assert level.style(Style(texture=texture, manner="held")).manner == level.bass
    assert levels_for("solo")[0].texture == "drone"


def test_a_teachers_own_file(lamps: Path, tmp_path: Path) -> None:
    file = tmp_path / "class.toml"
    file.write_text(
        '[[level]]\nteaches = "Roots,\\n gently."\nbass = "roots"\nhighest = "6+"\nreach = 80\n'
        '[[level]]\nteaches = "Fourths."\nbass = "alternating-fourth"\nright-hand = "full-strum"\n',
        encoding="utf-8",
    )
    one, two = read_levels(file, "class.toml")
    assert (one.teaches, one.highest, one.reach, one.barred) == ("Roots, gently.", 11, 80, True)
    assert two.right_hand is not None
    assert two.right_hand.name == "full-strum"
    ended = run("levels", str(lamps), "--levels", str(file))
    assert ended.code == 0, ended
    assert "the right hand plays full-strum" in ended.out


def test_the_command_writes_a_file_a_level(lamps: Path, tmp_path: Path) -> None:
    folder = tmp_path / "levels"
    ended = run("levels", str(lamps), "--to", str(folder), "--as", "txt", "--only", "2-3")
    assert ended.code == 0, ended
    assert sorted(file.name for file in folder.iterdir()) == [
        "level-2.json", "level-2.txt", "level-3.json", "level-3.txt",
    ]  # fmt: skip
    for level, manner in ((2, "roots"), (3, "alternating")):
        made = from_json((folder / f"level-{level}.json").read_text(encoding="utf-8"))
        assert made.style.manner == manner
        assert made.level is not None
        assert made.level.number == level
        row = next(line for line in ended.out.splitlines() if line.startswith(f"{level} "))
        assert row.split()[-1] == str(figures(made).shapes)
    assert "Level 2 to 3:\n  the bass goes root and fifth in turn" in ended.out
    assert "no nested set can cost less than" in ended.told
    assert "ms" not in ended.out, "work counts wishes too, and falls where levels rise"
    page = " ".join((folder / "level-2.txt").read_text(encoding="utf-8").split())
    assert "Level 2: The root struck anew on every bass beat" in page
    asked = page.partition("Asked ")[2].partition(" 1 ")[0]
    assert "each bar no harder than on the next level" in asked
    assert "never finger P" in asked
    assert "whole tune" not in asked


def test_the_command_ends_with_an_answer_where_a_level_cannot_be_met(
    lamps: Path, tmp_path: Path
) -> None:
    file = tmp_path / "class.toml"
    file.write_text(
        '[[level]]\nteaches = "Nothing."\nbass = "roots"\nfingers = 0\n'
        '[[level]]\nteaches = "Roots."\nbass = "roots"\n',
        encoding="utf-8",
    )
    ended = run("levels", str(lamps), "--levels", str(file), "--to", str(tmp_path / "out"))
    assert ended.code == 1, ended
    assert [file.name for file in (tmp_path / "out").iterdir()] == ["level-2.json"]
    assert "level 1 cannot be met" in ended.told
    assert "it can be met with 1 finger down at once" in ended.told


CHORDLESS = """X:1
T:Wheelbarrow Row
M:4/4
L:1/4
K:D
d2 A2|B2 d2|c2 e2|d4|]
"""


@pytest.mark.parametrize("texture", ["song", "bass"])
def test_a_tune_without_chords_is_refused_as_one_arrangement_is(
    tmp_path: Path, texture: str
) -> None:
    """The same sentence, which offers the mend, and nothing written; no search for other mends."""
    file = tmp_path / "row.abc"
    file.write_text(CHORDLESS, encoding="utf-8")
    asked = (str(file), "--texture", texture)
    ended, alone = run("levels", *asked, "--to", str(tmp_path / "out")), run("arrange", *asked)
    assert (ended.code, alone.code) == (2, 2), ended
    assert ended.told == alone.told
    assert "--chords proposed or --chords drone" in ended.told
    assert "mends" not in ended.told
    assert not list(tmp_path.glob("out/*"))
    assert run("levels", *asked, "--only", "1", "--chords", "drone").code == 0


@pytest.mark.parametrize("texture", ["solo", "drone"])
def test_a_tune_without_a_melody_is_refused_as_one_arrangement_is(texture: str) -> None:
    """In the words of the texture that was asked for, though a solo's first level is a drone."""
    asked = ("third-tuesday-blues", "--texture", texture)
    ended, alone = run("levels", *asked), run("arrange", *asked)
    assert (ended.code, alone.code) == (2, 2), ended
    assert ended.told == alone.told
    assert f"and a {texture} is made of one" in ended.told


def test_levels_that_need_no_chords_come_out_without(tmp_path: Path) -> None:
    """A solo's first level may be a drone; the others say what they lack."""
    file = tmp_path / "row.abc"
    file.write_text(CHORDLESS, encoding="utf-8")
    ended = run("levels", str(file), "--texture", "solo")
    assert ended.code == 1, ended
    assert "levels 2, 3, 4 and 5 cannot be met" in ended.told
    assert "--chords proposed or --chords drone" in ended.told


@pytest.mark.slow
@pytest.mark.parametrize("name", corpus.names())
def test_levels_of_the_corpus_are_nested(name: str) -> None:
    tune = Session(name).tune
    if not any(bar.chords for bar in tune.bars):
        pytest.skip("no chords")
    found = Session(name).levels()
    judged(found)
    assert found.proven


@pytest.mark.slow
@pytest.mark.parametrize("manner", manners_in("song"))
@pytest.mark.parametrize("name", ["harrow-lane", "wet-boots-in-the-porch"])
def test_every_manner_has_its_easier_versions(name: str, manner: str) -> None:
    """The same manner at three levels, by the hand alone."""
    style = Style(texture="bass", manner=manner) if manner == "figure" else Style(manner=manner)
    levels = (
        Level(1, "Low and still.", manner, fingers=2, reach=75, barred=False),
        Level(2, "A little more.", manner, fingers=3, reach=85),
        Level(3, "Everything.", manner),
    )
    judged(Session(name, style=style).levels(levels))


@pytest.mark.slow
@pytest.mark.parametrize("texture", ["solo", "bass", "drone"])
@pytest.mark.parametrize("name", ["harrow-lane", "wet-boots-in-the-porch"])
def test_every_texture_has_levels(name: str, texture: str) -> None:
    style = Style(texture=texture, manner="held")
    found = Session(name, style=style).levels()
    if judged(found):
        return
    with pytest.raises(NotPlayable) as refused:  # no level can be met where the tune cannot be
        Session(name, style=style).arrange()
    assert {one.why for one in found.made} == {str(refused.value)}


def test_one_reason_for_every_level_is_said_once() -> None:
    """The bass string of this bundled tune's instrument has no E flat within its ceiling."""
    ended = run("levels", "the-vicars-piano")
    assert ended.code == 1
    assert ended.told.count("Eb cannot be played") == 1
    assert ended.lines[0].startswith("undersong: none of the 5 levels can be met: bar 1: Eb cannot")
    assert "'undersong mends'" in ended.lines[1]
    ended = run("levels", "the-vicars-piano", "--only", "2")
    assert ended.lines[0].startswith("undersong: level 2 cannot be met: bar 1: Eb cannot")


def test_levels_with_the_same_reason_are_named_together() -> None:
    one, two, three = (Made(Level(number, "x", "held"), why="a") for number in (1, 2, 3))
    some = LevelSet((one, replace(two, why="b"), three), 1, 0.0)
    assert reasons(some) == ("levels 1 and 3 cannot be met: a", "level 2 cannot be met: b")
    near = replace(two, nearest=("with c", "with d"))
    assert reasons(LevelSet((one, near), 1, 0.0))[1] == (
        "level 2 cannot be met: a; with c, or with d"
    )


def test_a_level_that_teaches_nothing_new_in_the_bass_says_so(tmp_path: Path) -> None:
    """In 3/4 with a chord a bar and one bass stroke a bar no fifth has its turn: every chord begins
    on its root (common practice, no source)."""
    file = tmp_path / "waltz.chart"
    file.write_text(
        "title: Bus Shelter Waltz\nkey: D\nmetre: 3/4\ntempo: 100\n\n| D | G | A | D |\n",
        encoding="utf-8",
    )
    (step,) = steps_of(Session(file).levels(levels_for("song")[1:3]))
    assert step.changes[0] == (
        "nothing new in the bass: no chord lasts until another note than its root takes its turn"
    )
    assert step.new, "the left hand has more to do"


GATE = "X:1\nT:Bare Gate\nM:3/4\nL:1/4\nQ:1/4=100\nK:D\nA | d f a | b g d | d2 |]\n"


def test_a_level_that_is_the_one_before_says_that_it_may_be_left_out(tmp_path: Path) -> None:
    """One voice on one string is played alike, slow enough for both levels of drone playing."""
    (tmp_path / "gate.abc").write_text(GATE, encoding="utf-8")
    ended = run("levels", str(tmp_path / "gate.abc"), "--texture", "drone", "--width", "200")
    assert ended.code == 0
    words = "every bar has the same frets and strokes as before, so this level may be left out"
    assert ended.out.endswith(f"Level 1 to 2:\n  nothing is new: {words}\n")
    one, two = (
        Session(tmp_path / "gate.abc", style=Style(texture="drone", manner="held")).levels().met
    )
    assert one.arrangement is not None
    assert two.arrangement is not None
    assert one.arrangement.choices == two.arrangement.choices


def test_a_level_that_is_left_out_in_words_has_nothing_else_to_teach() -> None:
    for name in ("harrow-lane", "mending-weather", "lantern-path"):
        for step in steps_of(Session(name).levels()):
            out = [change for change in step.changes if "may be left out" in change]
            assert bool(out) is not step.new
            rest = [change for change in step.changes if change not in out]
            assert step.new or all(change.startswith("the same frets") for change in rest)


def test_a_silent_pickup_has_no_frets_to_be_the_same(tmp_path: Path) -> None:
    file = tmp_path / "sung.abc"
    file.write_text(GATE.replace("| d f a", '| "D"d f a').replace("| b", '| "G"b'), "utf-8")
    steps = steps_of(Session(file).levels())
    assert steps
    assert not any("the pickup" in change for step in steps for change in step.changes)


def test_what_levels_teach_is_told_of_those_that_came_out(tmp_path: Path) -> None:
    file = tmp_path / "low.abc"
    file.write_text("X:1\nT:Too Low\nM:3/4\nL:1/4\nK:D\nA, | D, F, A,| G,3 |]\n", "utf-8")
    ended = run("levels", str(file), "--texture", "drone")
    assert ended.code == 1
    assert ended.out.count("cannot be met") == 2
    assert "Level" not in ended.out
    assert not ended.out.endswith("\n\n")


def test_a_beginners_solo_is_easier_for_one_and_the_same_hand() -> None:
    """Rated for a medium hand without little finger and bars, which is how hard it is to see."""
    style, ruler = Style(texture="solo"), replace(hand("medium"), not_used="P", may_bar="")
    hardest = []
    for player in (hand("beginner"), ruler):
        made = Session("mending-weather", hand=player, style=style).arrange()
        hardest.append(
            max(bar_difficulties(made.choices, made.moments, made.instrument, ruler).values())
        )
    assert hardest[0] < hardest[1]


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


@pytest.mark.slow
@pytest.mark.parametrize("name", corpus.names())
def test_solos_are_no_harder_than_the_hand_or_the_hardest_by_itself(name: str) -> None:
    session = Session(name, style=Style(texture="solo"))
    if not any(bar.notes for bar in session.tune.bars):
        pytest.skip("no melody")
    found = session.levels()
    if not found.met:
        pytest.skip("no level can be met")
    judged(found)
    hardest = session.levels([found.met[-1].level]).made[0].ratings
    for one in found.met:
        assert all(percent <= max(100, hardest[bar]) for bar, percent in one.ratings.items())


def test_a_level_beyond_the_hand_says_so_and_at_which_tempo_it_is_not(tmp_path: Path) -> None:
    (tmp_path / "quick.abc").write_text(QUICK, encoding="utf-8")
    ended = run("levels", str(tmp_path / "quick.abc"), "--texture", "solo", "--only", "1")
    told = " ".join(ended.out.split())
    assert (
        "open and ringing. Beyond 100 %: bars 1-2. With the frets and fingers shown, 1/4 = " in told
    )


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


def test_reasons_are_told_as_a_teacher_would() -> None:
    made = Made(levels_for("song")[0], why="bar 5: no", nearest=("it can with A", "it can with B"))
    assert why_not(made) == "bar 5: no; it can be met with A, or with B"
    assert why_not(replace(made, nearest=())) == "bar 5: no"


def test_one_version_is_one() -> None:
    ended = run("levels", "mending-weather", "--only", "1")
    assert "in 1 version;" in ended.told
    assert "nested" not in ended.told


@pytest.mark.slow
def test_levels_with_repeats_alike_come_out_in_their_time() -> None:
    """Within the usual time limit; each bar that comes again has the same hands, by the checker."""
    tune = Session("harrow-lane").tune
    ceiling = usual_bass_ceiling(tune, instrument("standard"))
    style = Style(texture="bass", manner="held", bass_ceiling=ceiling)
    found = Session(tune, style=style).levels(conditions=replace(NONE, alike=Alike("repeats")))
    assert len(judged(found)) == 5
    assert found.proven


@pytest.mark.slow
def test_a_level_is_not_given_up_for_what_the_next_would_only_like() -> None:
    """The first of these solos needs much of many bars; the hardest, whose moves have a time, holds
    just that, and not all that the levels between would choose above it."""
    found = Session("long-way-round-the-green", style=Style(texture="solo")).levels()
    assert len(judged(found)) == 5


def test_a_search_for_what_would_do_ends_with_its_time() -> None:
    """Silence would say that nothing does."""
    session = Session("lantern-path")
    level = replace(levels_for("song")[0], fingers=0)
    own = session.in_style(level.style(session.style))
    rater = Rater(session.instrument, session.hand)
    version = Version(level, own, NONE, Weights(), frozenset(), rater)
    assert nearest(version, own, Watch())
    with pytest.raises(OutOfTime):
        nearest(version, session.in_style(level.style(session.style)), Watch(0.0))
    stopped = Watch()
    stopped.stop.now()
    with pytest.raises(Stopped):
        nearest(version, session.in_style(level.style(session.style)), stopped)
