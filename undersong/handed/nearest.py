"""The arrangement nearest to a tab, and what of its changes mends a fault.

Where only the manner asks for a change, the bass is left free; where a wrong note would be left and
its neighbour changed instead, the same number of changes is looked for that has the wrong note
itself among them.

Public: Near, nearest_to.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from scoring.weights import Weights
from solver.conditions import Conditions
from solver.errors import ArrangeError
from solver.moments import moments_of
from solver.result import Arrangement
from solver.watch import Stopped, Watch
from undersong.handed.mending import Asked, Change, changes_of, near_to, rows_of, strings

if TYPE_CHECKING:
    from undersong.handed.reasons import Reasons
    from undersong.session import Session


@dataclass(frozen=True)
class Near:
    """nearest: the arrangement; changes: what it changes; manner: the bass manner that it was found
    in; asides: strings that the manner asked for alone would change besides those that mend."""

    nearest: Arrangement
    changes: tuple[Change, ...]
    manner: str
    asides: int = 0

    @property
    def mends(self) -> tuple[Change, ...]:
        return tuple(change for change in self.changes if not change.wish)


def nearest_to(
    session: "Session", asked: Asked, reasons: "Reasons", weights: Weights | None, watch: Watch
) -> Near:
    """asked: the tab's frets in the style that is asked. Raises ArrangeError, OutOfTime and
    Stopped."""
    own = _own(session, asked, reasons, weights, watch)
    style = session.style
    if not own.changes or style.manner == "free" or style.texture not in ("song", "bass"):
        return own
    other = session.in_style(replace(style, manner="free"))
    moments = moments_of(other.tune, other.style, len(other.instrument.courses))
    asked = rows_of(reasons.tab, reasons.here, moments)
    if not asked.rows:
        return own
    try:
        free = _own(other, asked, reasons, weights, watch)
    except Stopped:
        raise
    except ArrangeError:
        return own
    fewer = strings(free.mends), strings(free.changes)
    if fewer >= (strings(own.mends), strings(own.changes)):
        return own
    return replace(free, asides=max(0, strings(own.changes) - strings(free.mends)))


def _own(
    session: "Session", asked: Asked, reasons: "Reasons", weights: Weights | None, watch: Watch
) -> Near:
    """In the session's own manner."""

    def found(loose: Sequence[tuple[int, int, int]] = ()) -> Near:
        near = near_to(asked.without([*loose, *ringing]).rows)
        answer = session.arrange(weights, Conditions(near=near), watch=watch)
        changes = changes_of(answer, asked, reasons.here, reasons.judge)
        return Near(answer, reasons.told(changes), session.style.manner)

    ringing = reasons.wrong_ringing(asked)
    first = found()
    wrong = reasons.left_wrong(first.changes, asked)
    if not wrong or not first.mends:
        return first
    if not asked.without([*wrong, *ringing]).rows:
        return first
    try:
        second = found(wrong)
    except Stopped:
        raise
    except ArrangeError:
        return first
    return second if strings(second.changes) <= strings(first.changes) else first
