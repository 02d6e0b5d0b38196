"""Tab that was handed in, held against a tune and an instrument.

Public: check_tab, checked, Checked, Place.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.difficulty import Rating
from scoring.moment import Moment
from scoring.weights import Weights
from solver.conditions import Conditions
from solver.errors import ArrangeError
from solver.moments import moments_of
from solver.result import Arrangement
from solver.style import Style
from solver.watch import Stopped, Watch
from tune.tune import Tune
from undersong.handed.finding import Finding, Subject
from undersong.handed.judging import Judge
from undersong.handed.mending import Asked, Change, changes_of, meant_for, near_to, rows_of
from undersong.handed.otherwise import misfits, other_readings
from undersong.handed.placing import PlacedTab, placed
from undersong.handed.rated import rating_of, too_fast
from undersong.handed.reading import TabOrder, read_tab
from undersong.handed.sounding import Here, heard
from undersong.handed.tab import SHAPES, Tab
from undersong.handed.whole import WHOLE, best_bars

if TYPE_CHECKING:
    from pathlib import Path

    from undersong.session import Session

Place = Callable[[int, int], str]
"""A played bar and a tick in it, in words."""


@dataclass(frozen=True)
class Checked:
    """findings: faults and remarks, bar by bar; warnings: about the tab as a whole; nearest: the
    arrangement that changes the fewest strings, None where there is none (``why`` says why);
    changes: what it changes; manner: the bass manner that it was found in; asides: strings that
    the asked manner alone would change besides; best: the best there is without the tab; missed:
    columns of the tab for which this right hand has no stroke; missing: written bars of the tune
    that the tab does not have."""

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
    missing: tuple[int, ...] = ()
    why: str = ""

    @property
    def faults(self) -> tuple[Finding, ...]:
        return tuple(finding for finding in self.findings if finding.fault)

    @property
    def remarks(self) -> tuple[Finding, ...]:
        return tuple(finding for finding in self.findings if not finding.fault)

    @property
    def sound(self) -> bool:
        """Whether its shapes can be played as they stand, and it is this tune, or a part of it."""
        return not self.faults and all(change.wish for change in self.changes)

    @property
    def sound_as_far_as_it_goes(self) -> bool:
        """The same as far as the tune goes."""
        return all(fault.kind in WHOLE for fault in self.faults) and all(
            change.wish for change in self.changes
        )

    @cached_property
    def rating(self) -> Rating | None:
        """How difficult the bars are that are there, mended; None where that is not known."""
        return rating_of(self)

    @property
    def in_time(self) -> bool:
        """Whether every bar that is there, mended, has the time that its moves need."""
        return self.rating is None or not too_fast(self.rating)


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
    moments = moments_of(session.tune, session.style, len(session.instrument.courses))

    def read(order: TabOrder) -> tuple[Tab, PlacedTab, tuple[Here, ...]]:
        tab = read_tab(text, session.instrument, order, file, _alone(session))
        return tab, *_placed(tab, session, moments)

    tab, found, here = read(order)
    subject = Subject(
        session.tune, session.instrument, session.hand, session.style, moments, tab.numbering
    )
    judge = Judge(subject, tab, found, here)
    warnings = tab.notices + other_readings(
        lambda other: read(other)[::2], order, tab, here, moments, session.instrument, session.hand
    )
    made = Checked(
        tab,
        subject,
        judge.findings(),
        warnings,
        missed=_missed(tab, here, moments),
        missing=found.missing,
    )
    return _solved(made, session, here, weights, watch, judge.place)


def _placed(
    tab: Tab, session: "Session", moments: tuple[Moment, ...]
) -> tuple[PlacedTab, tuple[Here, ...]]:
    """Everything at its place: a part of the tune where it fits best."""
    found = placed(tab, session.tune, moments)
    if found.missing and tab.barred:

        def wrong(bars: Sequence[int]) -> Counter[int]:
            there = placed(tab, session.tune, moments, bars)
            return misfits(heard(tab, there, moments), session.instrument)

        found = placed(tab, session.tune, moments, best_bars(tab, session.tune, wrong))
    return found, heard(tab, found, moments)


def _alone(session: "Session") -> bool:
    """Whether the bass string's line may stand by itself."""
    return session.style.texture == "bass"


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
    place: Place,
) -> Checked:
    """With the nearest arrangement, and the best."""
    asked_for = rows_of(made.tab, here, made.subject.moments)
    if not asked_for.rows:
        return replace(made, why="nothing of the tab stands where this right hand strikes")
    try:
        best = session.arrange(weights, watch=watch)
        asked = _nearest(session, asked_for, here, weights, watch, place)
    except Stopped:
        raise
    except ArrangeError as error:
        return replace(made, why=str(error))
    nearest, changes, manner, asides = *asked, session.style.manner, 0
    if changes and session.style.texture == "song" and session.style.manner != "free":
        free = _free(session, made.tab, here, weights, watch, place)
        if free is not None and len(free[1]) < len(changes):
            asides = len(changes) - len(free[1])
            nearest, changes, manner = *free, "free"
    wishes = {
        place for finding in made.remarks if finding.kind == "bass role" for place in finding.places
    }
    changes = tuple(
        replace(change, wish=change.course == 0 and change.where in wishes) for change in changes
    )
    return replace(made, nearest=nearest, changes=changes, manner=manner, asides=asides, best=best)


def _nearest(
    session: "Session",
    asked: Asked,
    here: Sequence[Here],
    weights: Weights | None,
    watch: Watch,
    place: Place,
) -> tuple[Arrangement, tuple[Change, ...]]:
    near = near_to(asked.rows)
    found = session.arrange(weights, Conditions(near=near), watch=watch)
    return found, changes_of(found, near, asked.typed, here, place)


def _free(
    session: "Session",
    tab: Tab,
    here: Sequence[Here],
    weights: Weights | None,
    watch: Watch,
    place: Place,
) -> tuple[Arrangement, tuple[Change, ...]] | None:
    """The nearest where no manner binds the bass: what is changed then is no matter of taste."""
    other = session.in_style(replace(session.style, manner="free"))
    moments = moments_of(other.tune, other.style, len(other.instrument.courses))
    asked = rows_of(tab, here, moments)
    if not asked.rows:
        return None
    try:
        return _nearest(other, asked, here, weights, watch, place)
    except Stopped:
        raise
    except ArrangeError:
        return None
