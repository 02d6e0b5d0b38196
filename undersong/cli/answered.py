"""TUNE|FILE.json: a tune that is arranged first, or an answer that was written with --to FILE.json.

Public: answered, arranged.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from undersong.cli.endings import say
from undersong.cli.handed_in import counted_answer, refuse_settings
from undersong.cli.opening import Opened, opened
from undersong.cli.searching import watched

if TYPE_CHECKING:
    import click

    from solver.result import Arrangement
    from undersong.cli.asked import Asked
    from undersong.cli.conditions import ConditionsAsked


def answered(
    context: click.Context, asked: Asked, wanted: ConditionsAsked, own: frozenset[str]
) -> Arrangement:
    """The arrangement; own: the options that a finished answer may be asked with, by their names.

    Says on stderr where it is not proven. Raises Refused, or the rooms' own errors, one sentence
    each.
    """
    from solver.result import PROVEN

    if asked.tune.lower().endswith(".json"):
        refuse_settings(context, own)
        return counted_answer(asked.tune, asked.from_capo)
    found = arranged(opened(asked, wanted), asked.time_limit)
    if found.proof.status != PROVEN:
        say(f"{found.proof.status}: at most {found.proof.gap} ms above the best")
    return found


def arranged(begun: Opened, seconds: float) -> Arrangement:
    """What was opened, arranged while it is watched; as ``watched`` and ``Session.arrange``."""
    return watched(
        lambda watch: begun.session.arrange(begun.weights, begun.conditions, watch=watch), seconds
    )
