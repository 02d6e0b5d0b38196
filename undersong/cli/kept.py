"""Bars that are kept from an answer whose bass went in another manner there: what asks for it.

Public: kept_manners.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from undersong.cli.handed_in import answer_in

if TYPE_CHECKING:
    from collections.abc import Iterable

    from solver.conditions import Conditions
    from solver.result import Arrangement
    from undersong.session import Session


def kept_manners(keep: Iterable[str], session: Session, conditions: Conditions) -> tuple[str, ...]:
    """For every manner that bars of ``--keep`` had and are not asked to have here, a clause with
    the pin that asks for it; none for manners that the texture does not have.

    keep: as typed, read before; session, conditions: what is asked here. Raises Refused for a file
    that can be read no more.
    """
    from solver.conditions.pins import manners_of
    from solver.style import manners_in
    from tune.bar_names import bar_runs, bars_named

    tune, style = session.tune, session.style
    asked = manners_of(tune, conditions.pins)
    here = {bar.number: asked.get(index, style.manner) for index, bar in enumerate(tune.bars)}
    others: dict[str, set[int]] = {}
    for text in keep:
        for number, manner in _had(text):
            if number in here and here[number] != manner and manner in manners_in(style.texture):
                others.setdefault(manner, set()).add(number)
    told = []
    for manner, numbers in others.items():
        name = bars_named(numbers)
        were = "was" if len(numbers) == 1 else "were"
        pins = " ".join(f"--pin '{bars}: manner {manner}'" for bars in bar_runs(sorted(numbers)))
        told.append(f"{name} {were} made in the manner {manner}: {pins} asks for it there")
    return tuple(told)


def _had(text: str) -> list[tuple[int, str]]:
    """Printed number and manner of each bar that is kept."""
    from solver.conditions.bars import Bars
    from solver.conditions.pins import manners_of

    name, _, bars = text.rpartition(":")
    kept: Arrangement = answer_in(name, "--keep")
    pinned = manners_of(kept.tune, kept.conditions.pins)
    return [
        (kept.tune.bars[index].number, pinned.get(index, kept.style.manner))
        for index in sorted(Bars.parse(bars).of(kept.tune))
    ]
