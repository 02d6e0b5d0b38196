"""Our own page handed in again: sound, with the same frets, at the same cost."""

from dataclasses import replace

import pytest

import corpus
from fretboard.presets import instrument
from solver.conditions import Conditions
from solver.conditions.limits import Limits
from solver.errors import ArrangeError
from solver.style import TEXTURES, manners_in, usual_manner
from undersong import Arrangement, Session, Style, Weights, right_hand, text_tab
from undersong.handed.checking import Checked, checked
from undersong.handed.unmended import put_in
from undersong.handed.words import report
from undersong.sheet.options import SheetOptions


def frets(arrangement: Arrangement) -> list[tuple[int, ...]]:
    return [choice.grip.frets for choice in arrangement.choices]


def again(session: Session, arrangement: Arrangement, options: SheetOptions) -> Checked:
    found = checked(session, text_tab(arrangement, options))
    assert found.faults == ()
    assert found.changes == ()
    assert found.sound
    assert found.warnings == ()
    assert found.missed == 0
    assert found.nearest is not None
    assert found.best is not None
    assert found.nearest.cost == arrangement.cost == found.best.cost
    assert frets(found.nearest) == frets(arrangement)
    return found


PLAIN = SheetOptions()


@pytest.mark.parametrize(
    ("tune", "manner", "options"),
    [
        ("harrow-lane", "alternating", PLAIN),
        ("candle-for-the-back-row", "walking", SheetOptions(unicode=True)),
        ("kettle-on-at-nine", "roots", SheetOptions(width=40)),
        ("wet-boots-in-the-porch", "held", SheetOptions(bass_on_top=False)),
        ("third-tuesday-blues", "runs", SheetOptions(width=60)),
        ("three-odd-gloves", "alternating-fourth", SheetOptions(width=120)),
    ],
)
def test_a_page_comes_back(tune: str, manner: str, options: SheetOptions) -> None:
    session = Session(tune, style=Style(manner=manner))
    again(session, session.arrange(), options)


@pytest.mark.slow
@pytest.mark.parametrize("manner", manners_in("song"))
@pytest.mark.parametrize("tune", corpus.names())
def test_every_page_comes_back(tune: str, manner: str) -> None:
    session = Session(tune, style=Style(manner=manner))
    try:
        arrangement = session.arrange()
    except ArrangeError:
        pytest.skip("cannot be played on this instrument")
    again(session, arrangement, PLAIN)
    again(session, arrangement, SheetOptions(unicode=True, width=48, bass_on_top=False))


@pytest.mark.parametrize("hand", ["broken", "full-strum", "damped-bass-then-strum", "bass-only"])
def test_other_right_hands(hand: str) -> None:
    """Strings struck one by one, all at once, and bass notes damped with the palm."""
    session = Session("lantern-path", style=Style(right_hand=right_hand(hand)))
    again(session, session.arrange(), PLAIN)


@pytest.mark.parametrize(
    ("tune", "style"),
    [
        ("wet-boots-in-the-porch", Style(texture="solo")),
        ("lantern-path", Style(texture="drone", manner="held")),
        ("harrow-lane", Style(texture="bass")),
    ],
)
def test_other_textures(tune: str, style: Style) -> None:
    """Among them a pickup that begins within a beat, and a melody that goes on without a chord."""
    session = Session(tune, style=style)
    again(session, session.arrange(), PLAIN)


@pytest.mark.slow
@pytest.mark.parametrize("texture", TEXTURES)
@pytest.mark.parametrize("tune", corpus.names())
def test_every_page_of_other_textures(tune: str, texture: str) -> None:
    session = Session(tune, style=Style(texture=texture, manner=usual_manner(texture)))
    try:
        arrangement = session.arrange()
    except ArrangeError:
        pytest.skip("cannot be played on this instrument")
    again(session, arrangement, PLAIN)
    again(session, arrangement, SheetOptions(width=44, unicode=True))


def test_a_melody_note_that_was_changed_is_told() -> None:
    """The first struck number of the melody string goes up an octave: not the tune's note."""
    session = Session("lantern-path", style=Style(texture="drone", manner="held"))
    lines = text_tab(session.arrange()).split("\n")
    at = next(n for n, line in enumerate(lines) if line.startswith("D4") and "|" in line)
    place = next(n for n, sign in enumerate(lines[at]) if n > 3 and sign.isdigit())
    assert lines[at][place + 1] == "-"
    other = str((int(lines[at][place]) + 1) % 7)
    lines[at] = lines[at][:place] + other + lines[at][place + 1 :]
    found = checked(session, "\n".join(lines))
    assert [finding.kind for finding in found.faults if finding.kind == "melody"] == ["melody"]
    assert "the melody has " in str(next(f for f in found.faults if f.kind == "melody"))
    assert next(change.course for change in found.changes if not change.wish) == 2


def test_frets_counted_from_the_capo() -> None:
    """The page says so itself."""
    session = Session("wet-boots-in-the-porch", instrument=instrument("standard", capo="3"))
    arrangement = session.arrange()
    again(session, arrangement, SheetOptions(from_capo=True))
    again(session, arrangement, PLAIN)


def test_four_strings() -> None:
    session = Session("harrow-lane", instrument="four-equidistant")
    again(session, session.arrange(), PLAIN)


def test_another_fingering_of_the_same_frets_costs_no_less() -> None:
    """Fingers that nobody would use are told, and the cost is still that of the cheapest."""
    session = Session("harrow-lane")
    arrangement = session.arrange()
    page = text_tab(arrangement)
    crossed = page.replace("D3             T         T", "D3             P         T", 1)
    assert crossed != page
    found = checked(session, crossed)
    assert found.nearest is not None
    assert found.nearest.cost == arrangement.cost
    assert {finding.kind for finding in found.faults} <= {"order", "hand"}
    assert found.faults


def test_what_costs_more_is_told() -> None:
    """The best under other weights is dearer under these, by no more than its own bill says."""
    session = Session("through-the-double-doors")
    best = session.arrange()
    other = session.arrange(Weights().updated({"hand-shift": 0, "high-bass": 400}))
    assert frets(other) != frets(best)
    found = checked(session, text_tab(other))
    assert found.sound
    assert found.nearest is not None
    assert frets(found.nearest) == frets(other)
    assert best.cost < found.nearest.cost <= replace(other, weights=Weights()).cost


@pytest.mark.parametrize("tune", ["biscuit-tin-stomp", "lantern-path", "wet-boots-in-the-porch"])
def test_a_melody_where_no_chord_sounds_is_no_remark(tune: str) -> None:
    """A pickup before the first chord; the melody alone is struck there."""
    session = Session(tune, style=Style(texture="solo"))
    found = checked(session, text_tab(session.arrange()))
    assert [one.words for one in found.findings if "no chord sounds here" in one.words] == []


def test_another_note_where_no_chord_sounds_is_told() -> None:
    """The pickup is the first bar of the page; its melody note is another, and is to be changed,
    not put in; that something is struck there is right."""
    session = Session("lantern-path", style=Style(texture="solo"))
    lines = text_tab(session.arrange()).split("\n")
    at = next(n for n, line in enumerate(lines) if line.startswith("D4") and "|" in line)
    place = next(n for n, sign in enumerate(lines[at]) if n > 3 and sign.isdigit())
    other = str((int(lines[at][place]) + 1) % 7)
    lines[at] = lines[at][:place] + other + lines[at][place + 1 :]
    found = checked(session, "\n".join(lines))
    where = "the pickup, beat 3"
    assert [one.kind for one in found.findings if one.where == where] == ["melody"]
    assert [(one.where, one.course) for one in found.mends] == [(where, 2)]
    assert f"{where}: melody {other} -> " in report(found)
    assert put_in(found) == ()


def test_more_than_the_melody_where_no_chord_sounds_is_told() -> None:
    session = Session("lantern-path", style=Style(texture="solo"))
    lines = text_tab(session.arrange()).split("\n")
    at = next(n for n, line in enumerate(lines) if line.startswith("D4") and "|" in line)
    place = next(n for n, sign in enumerate(lines[at]) if n > 3 and sign.isdigit())
    bass = at - 2 if lines[at - 2].startswith("D3") else at + 2
    lines[bass] = lines[bass][:place] + "0" + lines[bass][place + 1 :]
    found = checked(session, "\n".join(lines))
    assert ("the pickup, beat 3", "no chord sounds here, and something is struck") in {
        (one.where, one.words) for one in found.remarks
    }


@pytest.mark.parametrize("bars", [None, 8])
def test_a_page_is_rated_in_the_fingers_that_are_on_it(bars: int | None) -> None:
    """Two fingers at once and short reaches cost more hand work, and rate as easier."""
    session = Session("harrow-lane", style=Style(manner="held"))
    easy = session.arrange(conditions=Conditions(limits=Limits(fingers=2, reach=70)))
    page = text_tab(easy, PLAIN)
    if bars is not None:
        page = page.split("A, 2nd time")[0]
    found = checked(session, page)
    assert found.sound_as_far_as_it_goes
    assert found.rating is not None
    assert found.nearest is not None
    assert found.nearest.difficulty.hardest > easy.difficulty.hardest >= found.rating.hardest
    assert found.fingered is not None
    pairs = zip(found.fingered.choices, easy.choices, easy.moments, strict=True)
    assert {
        one.grip.fingers == other.grip.fingers
        for one, other, moment in pairs
        if bars is None or moment.bar <= bars
    } == {True}
    words = "Difficulty in" if bars is None else "Difficulty of what is there in"
    told = " ".join(report(found).split())
    assert f"{words} the fingers that are written: hardest {found.rating.hardest} %" in told


def test_where_fingers_are_left_out_the_cheapest_are_rated_and_that_is_said() -> None:
    session = Session("harrow-lane", style=Style(manner="held"))
    page = text_tab(session.arrange(conditions=Conditions(limits=Limits(fingers=2, reach=70))))
    at = next(
        n for n, line in enumerate(page.split("\n")) if line.startswith("D3  ") and "T" in line
    )
    lines = page.split("\n")
    lines[at] = lines[at].replace("T", " ", 1)
    found = checked(session, "\n".join(lines))
    assert found.fingered is None
    assert found.rating == found.nearest.difficulty  # type: ignore[union-attr]
    told = " ".join(report(found).split())
    assert "Difficulty in the cheapest fingers, not those that are written: hardest" in told
