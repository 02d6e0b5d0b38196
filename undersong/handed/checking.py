"""Tab that was handed in, held against a tune and an instrument.

Public: check_tab, checked, Checked.
"""

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.difficulty import Rating
from scoring.moment import Moment
from scoring.weights import Weights
from solver.errors import ArrangeError
from solver.moments import moments_of
from solver.result import Arrangement
from solver.style import Style
from solver.watch import Stopped, Watch
from tune.tune import Tune
from undersong.handed.as_fingered import as_fingered
from undersong.handed.finding import Finding, Subject
from undersong.handed.in_turn import in_turn
from undersong.handed.judging import Judge
from undersong.handed.mending import Change, Number, meant_for, rows_of
from undersong.handed.nearest import nearest_to
from undersong.handed.otherwise import misfits, other_readings
from undersong.handed.page_says import says_otherwise
from undersong.handed.placing import PlacedTab, like_a_pickup, placed
from undersong.handed.rated import rating_of, too_fast
from undersong.handed.reading import TabOrder, read_tab
from undersong.handed.reasons import Reasons
from undersong.handed.sounding import Here, heard
from undersong.handed.sung import unsung
from undersong.handed.tab import SHAPES, Tab, TabError
from undersong.handed.whole import WHOLE, best_bars, best_beyond
from undersong.handed.written_out import Order, written_out
from undersong.sheet.folding import leads

if TYPE_CHECKING:
    from pathlib import Path

    from undersong.session import Session


@dataclass(frozen=True)
class Checked:
    """findings: faults and remarks, bar by bar; warnings: about the tab as a whole; nearest: the
    arrangement that changes the fewest strings, None where there is none (``why`` says why);
    changes: what it changes; manner: the bass manner that it was found in; asides: strings that
    the asked manner alone would change besides those that mend; best: the best there is without
    the tab; left_out: for each column of the tab with a string that this right hand strikes
    neither there nor next, the written bar's index; later: the same for columns that it strikes
    later in the bar and not there; missing: written bars of the tune that the tab does not have;
    times_missing: numbers of played bars that it has another time only;
    struck: (place in words, string) of all that the right hand strikes; left: faults of strings
    that stay after the changes; split: numbers of the text for whose strokes no one fret was
    found; fingered: the nearest arrangement in the fingers that are written, None where they are
    not all there, or something is changed."""

    tab: Tab
    subject: Subject
    findings: tuple[Finding, ...]
    warnings: tuple[str, ...] = ()
    nearest: Arrangement | None = None
    changes: tuple[Change, ...] = ()
    manner: str = ""
    asides: int = 0
    best: Arrangement | None = None
    left_out: tuple[int, ...] = ()
    later: tuple[int, ...] = ()
    missing: tuple[int, ...] = ()
    times_missing: tuple[int, ...] = ()
    why: str = ""
    struck: frozenset[tuple[str, int]] = frozenset()
    left: tuple[Finding, ...] = ()
    split: tuple[Number, ...] = ()
    fingered: Arrangement | None = None

    @property
    def faults(self) -> tuple[Finding, ...]:
        return tuple(finding for finding in self.findings if finding.fault)

    @property
    def remarks(self) -> tuple[Finding, ...]:
        return tuple(finding for finding in self.findings if not finding.fault)

    @property
    def not_there(self) -> frozenset[int]:
        """The numbers of the played bars that the tab does not have."""
        played = self.subject.tune.played
        never = (bar.number for bar in played if bar.written in self.missing)
        return frozenset((*never, *self.times_missing))

    @property
    def missed(self) -> int:
        """Columns of the tab with a string for which this right hand has no stroke."""
        return len(self.left_out)

    @property
    def mends(self) -> tuple[Change, ...]:
        """The changes that mend something."""
        return tuple(change for change in self.changes if not change.wish)

    @property
    def wishes(self) -> tuple[Change, ...]:
        """The changes that only the manner or the right hand asks for."""
        return tuple(change for change in self.changes if change.wish)

    @property
    def sound(self) -> bool:
        """Whether its shapes can be played as they stand, and it is this tune, or a part of it."""
        return not self.faults and not self.mends

    @property
    def sound_as_far_as_it_goes(self) -> bool:
        """The same as far as the tune goes."""
        return all(fault.kind in WHOLE for fault in self.faults) and not self.mends

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

    text: the tab as it was typed (``undersong tab-format`` says how it is read); tune,
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

    otherwise = says_otherwise(text, session.style, session.instrument)
    try:
        tab, found, here = read(order)
    except TabError as error:
        raise (TabError("; ".join((str(error), *otherwise))) if otherwise else error) from None
    subject = Subject(
        session.tune, session.instrument, session.hand, session.style, moments, tab.numbering
    )
    judge = Judge(subject, tab, found, here)
    warnings = otherwise + tab.notices + other_readings(
        lambda other: read(other)[::2], order, tab, here, moments, session.instrument,
        session.hand, judge.passes_over,
    )  # fmt: skip
    left_out, later = _strays(tab, here, moments, session.tune)
    made = Checked(
        tab,
        subject,
        judge.findings(),
        warnings,
        left_out=left_out,
        later=later,
        missing=found.missing,
        times_missing=found.times_missing,
    )
    reasons = Reasons(subject, tab, found, here, judge, made.findings)
    return _solved(made, session, reasons, weights, watch)


def _placed(
    tab: Tab, session: "Session", moments: tuple[Moment, ...]
) -> tuple[PlacedTab, tuple[Here, ...]]:
    """Everything at its place: a part of the tune where it fits best."""
    found = placed(tab, session.tune, moments)

    def count(tab: Tab, there: PlacedTab) -> Counter[int]:
        here = heard(tab, there, moments)
        notes = misfits(here, session.instrument)
        notes.update(unsung(there, here, moments, session.instrument))
        return notes

    def wrong(bars: Sequence[int], beyond: range | None = None) -> Counter[int]:
        return count(tab, placed(tab, session.tune, moments, bars, beyond))

    def wrong_as_played(tab: Tab, order: Order) -> Counter[int]:
        return count(tab, placed(tab, session.tune, moments, in_order=order))

    if found.missing and tab.barred:
        found = placed(tab, session.tune, moments, best_bars(tab, session.tune, wrong))
    elif tab.barred and (found.extra or _may_lack_a_pickup(tab, session.tune)):
        there, beyond = best_beyond(tab, session.tune, wrong)
        if beyond:
            found = placed(tab, session.tune, moments, there, beyond)
    if tab.barred:
        order = written_out(tab, found, session.tune, count(tab, found).total(), wrong_as_played)
        if order is not None:
            found = placed(tab, session.tune, moments, in_order=order)
    found = in_turn(tab, found, session.tune, moments, session.instrument)
    return found, heard(tab, found, moments)


def _may_lack_a_pickup(tab: Tab, tune: Tune) -> bool:
    """Whether the tab has as many bars as the tune, its pickup counted, but none like a pickup."""
    return len(tab.bars) == len(tune.bars) and leads(tune)[0] > 0 and not like_a_pickup(tab)


def _alone(session: "Session") -> bool:
    """Whether the bass string's line may stand by itself."""
    return session.style.texture == "bass"


def _strays(
    tab: Tab,
    here: Sequence[Here],
    moments: Sequence[Moment],
    tune: Tune,
    dropped: Collection[tuple[int, int, int]] = (),
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """For each column with a string that this right hand strikes neither there nor later in the
    bar, the written bar's index; and the same for columns of which it strikes nothing there, and
    all of it later; dropped: strokes (played bar, tick, string) for which nothing was taken."""
    if tab.form == SHAPES:
        return (), ()
    meant: dict[tuple[int, int, int], list[tuple[int, int] | None]] = {}
    written: dict[tuple[int, int, int], int] = {}
    for index, course, place in meant_for(here, moments):
        at = here[index].at
        if place is not None and (*place, course) in dropped:
            place = None
        if at.first:
            key = at.bar, at.column.line, at.column.column
            own = (at.played, at.tick)
            meant.setdefault(key, []).append((0, 0) if place == own else place)
            written.setdefault(key, tune.played[at.played - 1].written)
    out = [written[key] for key, places in sorted(meant.items()) if None in places]
    later = [
        written[key]
        for key, places in sorted(meant.items())
        if None not in places and (0, 0) not in places
    ]
    return tuple(out), tuple(later)


def _solved(
    made: Checked, session: "Session", reasons: Reasons, weights: Weights | None, watch: Watch
) -> Checked:
    """With the nearest arrangement, and the best."""
    asked = rows_of(made.tab, reasons.here, made.subject.moments)
    made = replace(made, struck=reasons.struck(asked))
    if not asked.rows:
        return replace(made, why="nothing of the tab stands where this right hand strikes")
    try:
        best = session.arrange(weights, watch=watch)
        near = nearest_to(session, asked, reasons, weights, watch)
    except Stopped:
        raise
    except ArrangeError as error:
        return replace(made, why=str(error))
    tab, here, moments = made.tab, reasons.here, made.subject.moments
    left_out, later = _strays(tab, here, moments, made.subject.tune, near.dropped)
    return replace(
        made,
        left_out=left_out,
        later=later,
        nearest=near.nearest,
        changes=near.changes,
        manner=near.manner,
        asides=near.asides,
        best=best,
        left=reasons.after(near.changes),
        split=near.split,
        fingered=None if near.changes else as_fingered(near.nearest, reasons.here, made.not_there),
    )
