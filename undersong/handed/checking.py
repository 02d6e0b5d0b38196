"""Tab that was handed in, held against a tune and an instrument.

Public: check_tab, Checked.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.moment import Moment
from scoring.weights import Weights
from solver.conditions import Conditions
from solver.conditions.near import Near
from solver.errors import ArrangeError
from solver.moments import moments_of
from solver.result import Arrangement
from solver.style import Style
from solver.watch import Stopped, Watch
from tune.tune import Tune
from undersong.handed.judging import Finding, Judge, Subject
from undersong.handed.mending import Change, changes_of, meant_for, near_to, rows_of
from undersong.handed.placing import placed
from undersong.handed.reading import TabOrder, read_tab
from undersong.handed.sounding import Here, heard
from undersong.handed.tab import SHAPES, Tab, TabError

if TYPE_CHECKING:
    from pathlib import Path

    from undersong.session import Session


@dataclass(frozen=True)
class Checked:
    """findings: faults and remarks, bar by bar; warnings: about the tab as a whole; nearest: the
    arrangement that changes the fewest strings, None where there is none (``why`` says why);
    changes: what it changes; manner: the bass manner that it was found in; asides: strings that
    the asked manner alone would change besides; best: the best there is without the tab; missed:
    columns of the tab for which this right hand has no stroke."""

    tab: Tab
    subject: Subject
    findings: tuple[Finding, ...]
    warnings: tuple[str, ...] = ()
    nearest: Arrangement | None = None
    changes: tuple[Change, ...] = ()
    manner: str = ""
    asides: int = 0
    best: Arrangement | None = None
    missed: int = 0
    why: str = ""

    @property
    def faults(self) -> tuple[Finding, ...]:
        return tuple(finding for finding in self.findings if finding.fault)

    @property
    def remarks(self) -> tuple[Finding, ...]:
        return tuple(finding for finding in self.findings if not finding.fault)

    @property
    def sound(self) -> bool:
        """Whether it can be played as it stands, and is this tune."""
        return not self.faults and all(change.wish for change in self.changes)


def check_tab(
    text: str,
    tune: "Tune | str | Path",
    *,
    instrument: Instrument | str = "standard",
    hand: Hand | str | int = "medium",
    style: Style | None = None,
    weights: Weights | None = None,
    order: TabOrder | None = None,
    file: str = "",
    watch: Watch | None = None,
) -> Checked:
    """What is wrong with a tab, what it costs against the best, and its smallest mend.

    text: the tab as it was typed (``undersong check --format`` says how it is read); tune,
    instrument, hand, style, weights: as in ``arrange``; order: how the tab is written where it
    does not say it; file: its name for complaints. Raises TabError for a tab that cannot be read,
    ArrangeError for a tune that cannot be arranged, OutOfTime and Stopped.
    """
    from undersong.session import Session

    session = Session(tune, instrument=instrument, hand=hand, style=style)
    return checked(session, text, weights, order, file, watch)


def checked(
    session: "Session",
    text: str,
    weights: Weights | None = None,
    order: TabOrder | None = None,
    file: str = "",
    watch: Watch | None = None,
) -> Checked:
    """``check_tab`` for a session that is open."""
    order = TabOrder() if order is None else order
    watch = Watch() if watch is None else watch
    tab = read_tab(text, session.instrument, order, file, _alone(session))
    moments = moments_of(session.tune, session.style, len(session.instrument.courses))
    subject = Subject(session.tune, session.instrument, session.hand, session.style, moments)
    found = placed(tab, session.tune, moments)
    here = heard(tab, found, moments)
    judge = Judge(subject, tab, found, here)
    made = Checked(
        tab,
        subject,
        judge.findings(),
        _warnings(session, text, order, file, moments, here),
        missed=_missed(tab, here, moments),
    )
    where = {
        (moment.bar, moment.offset): (
            _bar_of(found.played, moment.bar), judge.place(moment.bar, moment.offset)
        )
        for moment in moments
    }  # fmt: skip
    return _solved(made, session, here, weights, watch, where)


def _alone(session: "Session") -> bool:
    """Whether the bass string's line may stand by itself."""
    return session.style.texture == "bass"


def _bar_of(played: dict[int, tuple[int, ...]], number: int) -> int:
    return next((bar for bar, numbers in played.items() if number in numbers), 0)


def _missed(tab: Tab, here: Sequence[Here], moments: Sequence[Moment]) -> int:
    """Columns with a string that this right hand does not strike there or later in the bar."""
    if tab.form == SHAPES:
        return 0
    found = {
        (here[index].at.bar, here[index].at.column.column, here[index].at.tick)
        for index, _, place in meant_for(here, moments)
        if place is None and here[index].at.first
    }
    return len(found)


def _solved(
    made: Checked,
    session: "Session",
    here: Sequence[Here],
    weights: Weights | None,
    watch: Watch,
    where: dict[tuple[int, int], tuple[int, str]],
) -> Checked:
    """With the nearest arrangement, and the best."""
    rows = rows_of(made.tab, here, made.subject.moments)
    if not rows:
        return replace(made, why="nothing of the tab stands where this right hand strikes")
    try:
        best = session.arrange(weights, watch=watch)
        asked = _nearest(session, near_to(rows), weights, watch, where)
    except Stopped:
        raise
    except ArrangeError as error:
        return replace(made, why=str(error))
    nearest, changes, manner, asides = *asked, session.style.manner, 0
    if changes and session.style.texture == "song" and session.style.manner != "free":
        free = _free(session, made.tab, here, weights, watch, where)
        if free is not None and len(free[1]) < len(changes):
            asides = len(changes) - len(free[1])
            nearest, changes, manner = *free, "free"
    wishes = {finding.where for finding in made.remarks if finding.kind == "bass role"}
    changes = tuple(
        replace(change, wish=change.course == 0 and change.where in wishes) for change in changes
    )
    return replace(made, nearest=nearest, changes=changes, manner=manner, asides=asides, best=best)


def _nearest(
    session: "Session",
    near: Near,
    weights: Weights | None,
    watch: Watch,
    where: dict[tuple[int, int], tuple[int, str]],
) -> tuple[Arrangement, tuple[Change, ...]]:
    found = session.arrange(weights, Conditions(near=near), watch=watch)
    return found, changes_of(found, near, where)


def _free(
    session: "Session",
    tab: Tab,
    here: Sequence[Here],
    weights: Weights | None,
    watch: Watch,
    where: dict[tuple[int, int], tuple[int, str]],
) -> tuple[Arrangement, tuple[Change, ...]] | None:
    """The nearest where no manner binds the bass: what is changed then is no matter of taste."""
    from undersong.session import Session

    style = replace(session.style, manner="free")
    other = Session(session.tune, instrument=session.instrument, hand=session.hand, style=style)
    moments = moments_of(other.tune, style, len(other.instrument.courses))
    rows = rows_of(tab, here, moments)
    if not rows or not set(where) >= {(row.bar, row.offset) for row in rows}:
        return None
    try:
        return _nearest(other, near_to(rows), weights, watch, where)
    except Stopped:
        raise
    except ArrangeError:
        return None


def _warnings(
    session: "Session",
    text: str,
    order: TabOrder,
    file: str,
    moments: Sequence[Moment],
    here: Sequence[Here],
) -> tuple[str, ...]:
    """Where the pitches say that the tab is written otherwise than it was read."""
    mine = _misfits(here, session.instrument)
    names = {
        "seven_is_six_plus": (
            "with the fret between 6 and 7 called 7",
            "--six-plus-is-7",
        ),
        "melody_first": ("with the melody string first", "--melody-first"),
        "melody_on_top": ("with the melody string on top", "--melody-on-top"),
    }
    out: list[str] = []
    for name, (words, option) in names.items():
        other = replace(order, **{name: not getattr(order, name)})
        try:
            tab = read_tab(text, session.instrument, other, file, _alone(session))
        except TabError:
            continue
        theirs = _misfits(
            heard(tab, placed(tab, session.tune, moments), moments), session.instrument
        )
        clearly = mine - theirs >= 2 and 2 * theirs <= mine
        if clearly or (name == "seven_is_six_plus" and mine > theirs == 0):
            if getattr(order, name):
                words, advice = f"without {option}", "leave it out"
            else:
                advice = f"write {option}"
            do_not = "1 note does not" if mine == 1 else f"{mine} notes do not"
            left = f"{theirs} would not" if theirs else "all would"
            out.append(
                f"as the tab was read {do_not} fit the chords, the fretboard or their place above "
                f"the bass; read {words}, {left}; {advice} if that is meant"
            )
    return tuple(out)


def _misfits(here: Sequence[Here], instrument: Instrument) -> int:
    """Notes that the chord does not have, or the fretboard; bass notes above others with them."""
    count = 0
    for one in here:
        chord = one.moment.chord
        if chord is None or not one.at.first:
            continue
        pitches = []
        for course, (fret, struck) in enumerate(zip(one.frets, one.struck, strict=True)):
            if not struck or fret is None:
                continue
            pitch = instrument.pitch(course, fret)
            pitches.append((course, pitch))
            there = instrument.has(course, fret)
            count += not there or (
                pitch % 12 not in chord.pitch_classes and pitch != one.moment.melody
            )
        low = [pitch for course, pitch in pitches if course == 0]
        count += bool(low) and any(pitch < low[0] for _, pitch in pitches)
    return count
