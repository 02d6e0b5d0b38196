"""What the page asks and searches answer: arrange, prices, why, others, levels. Each gives the
last line of a stream as a plain value; what cannot be played is an answer, not a fault.

Public: arranged, priced, explained, others, levels, for_levels.
"""

from contextlib import suppress
from dataclasses import replace
from typing import Any

from solver.conditions.pinned import Kept
from solver.errors import NotPlayable, Unfulfillable
from solver.result import Arrangement
from solver.watch import OutOfTime, Watch
from undersong.desk.refused import Refusal, here
from undersong.desk.settings import Begun, begun
from undersong.desk.store import Store
from undersong.desk.views.answer import answer_view
from undersong.desk.views.cannot import cannot_view
from undersong.desk.views.levels import levels_view
from undersong.desk.views.others import others_view
from undersong.desk.views.why import why_view
from undersong.desk.work import Work
from undersong.session import Session
from undersong.settings import strings_warning

APART = 4
"""Played bars in which one way differs from every other, where there are as many."""

MENDING = 6.0
"""Seconds that looking for mends may take."""


def arranged(
    store: Store, work: Work, before: str | None, width: int, watch: Watch
) -> dict[str, Any]:
    """The best answer, or why there is none and what would mend it; before: the document that is
    on the page now; width: mm of the drawing."""
    asked = begun(work)
    earlier = None if before is None else store.read(before)
    found = store.answer(asked)
    if found is None:
        with store.session(asked, watch) as session:
            try:
                found = session.arrange(asked.weights, asked.conditions, watch=watch)
            except (NotPlayable, Unfulfillable) as error:
                return {"cannot": _cannot(error, session, asked, work, watch)}
        store.remember(asked, found)
    seconds = watch.seconds - watch.left
    warning = ""
    if work.settings.tuning is not None:
        warning = strings_warning(work.settings.instrument, asked.instrument)
    view = answer_view(
        found,
        seconds=seconds,
        before=earlier,
        notices=[here(warning)] if warning else [],
        page=store.drawn(found, width),
    )
    store.note(view["document"], found)
    return {"answer": view}


def _cannot(
    error: Exception, session: Session, asked: Begun, work: Work, watch: Watch
) -> dict[str, Any]:
    """Pins are tried first, and for half as long, since that takes no look for the clash."""
    from undersong.mends import Mends, mends_of, pin_mends
    from undersong.mends.mend import in_order

    wanted = session.wanted(asked.conditions)
    pins = pin_mends(wanted, asked.weights, watch.within(MENDING / 2))
    some = watch.within(MENDING)
    clash, mends = None, Mends(pins, len(pins), 0)
    with suppress(OutOfTime):
        clash = session.clash(asked.conditions, asked.weights, some)
    if clash is not None:
        mends = mends_of(wanted, clash, asked.weights, some, work.settings.transpose)
        met = {mend.words for mend in mends.found}
        found = (*(pin for pin in pins if pin.words not in met), *mends.found)
        mends = replace(mends, found=in_order(found))
    return cannot_view(here(str(error)), clash, mends, work)


def priced(store: Store, document: str, watch: Watch) -> dict[str, Any]:
    """What each pin, limit and condition of the answer costs: asked after the answer stands on the
    page, since each price is a search of its own."""
    answer = store.read(document)
    with store.session(_asked_by(answer), watch) as session:
        return {"prices": [str(price) for price in session.prices(answer, watch)]}


def _asked_by(answer: Arrangement) -> Begun:
    return Begun(
        answer.tune, answer.instrument, answer.hand, answer.style, answer.weights, answer.conditions
    )


def explained(store: Store, document: str, played: int, watch: Watch) -> dict[str, Any]:
    """Why a bar of the answer is as it is; played: which of the bars as played."""
    from undersong.why import explain_bar

    answer = store.read(document)
    bars = answer.tune.played
    if not 1 <= played <= len(bars):
        raise Refusal(f"the tune plays {len(bars)} bars; there is no {played}", "played")
    written = answer.tune.bars[bars[played - 1].written].number
    same = [one.number for one in bars if answer.tune.bars[one.written].number == written]
    with store.session(_asked_by(answer), watch) as session:
        told = explain_bar(answer, written, same.index(played) + 1, session=session, watch=watch)
    return {"why": why_view(told)}


def others(store: Store, work: Work, count: int, watch: Watch) -> dict[str, Any]:
    """The best and others near it."""
    asked = begun(work)
    if not 2 <= count <= 8:
        raise Refusal(f"2 to 8 ways can be looked for, not {count}", "count")
    from undersong.alternatives import bars_to_differ_in

    with store.session(asked, watch, "others") as session:
        try:
            differ = min(APART, bars_to_differ_in(session, asked.conditions))
            found = session.alternatives(
                count,
                differ=differ,
                weights=asked.weights,
                conditions=asked.conditions,
                watch=watch,
            )
        except (NotPlayable, Unfulfillable) as error:
            return {"cannot": _cannot(error, session, asked, work, watch)}
    return {"others": others_view(found), "end": found.why}


def levels(store: Store, work: Work, watch: Watch) -> dict[str, Any]:
    """The bundled levels of the texture; bars that are kept as they were are one version's own, and
    left out of what is asked of all."""
    asked, kept = for_levels(begun(work))
    found = store.levels(asked)
    if found is None:
        with store.session(asked, watch, "levels") as session:
            found = session.levels(None, asked.weights, asked.conditions, watch=watch)
        store.remember_levels(asked, found)
    return {"levels": levels_view(found, kept)}


def for_levels(asked: Begun) -> tuple[Begun, bool]:
    """What is asked of every level, and whether kept bars were left out."""
    pins = asked.conditions.pins
    left = tuple(pin for pin in pins if not isinstance(pin.pinned, Kept))
    conditions = replace(asked.conditions, pins=left)
    return replace(asked, conditions=conditions), len(left) < len(pins)
