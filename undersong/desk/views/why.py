"""Why a bar is as it is, and what other choices there would cost.

Public: why_view, keeping.
"""

from contextlib import suppress
from typing import Any

from scoring.terms import TERMS
from solver.conditions.bars import Bars
from solver.conditions.pins import kept_bars
from solver.errors import ConditionError
from solver.result import Arrangement
from undersong.compare.shown import shown_beats, shown_hands
from undersong.compared import printed_bars
from undersong.why import Account, Explanation
from undersong.why.others import Other, changed_hands, sentence
from undersong.why.text import room_words


def why_view(found: Explanation) -> dict[str, Any]:
    """ms; pins: texts that a work takes."""
    made = found.arrangement
    beats = shown_beats(made)
    return {
        "played": found.bar,
        "number": printed_bars(made.tune, (found.bar,)),
        "cost": found.cost,
        "moments": [_moment(made, account, beats[account.index]) for account in found.accounts],
        "others": [_other(made, other, found.bar) for other in found.others],
        "better": found.better,
        "end": found.end,
        "pin_here": keeping(made, found.bar),
    }


def _moment(made: Arrangement, account: Account, beat: str) -> dict[str, Any]:
    choice = made.choices[account.index]
    about = {term.about.name: term.about for term in TERMS}
    return {
        "where": beat,
        "shape": shown_hands(made, choice.grip.frets, choice.grip.fingers, choice.struck),
        "role": choice.role or "",
        "cost": account.cost,
        "terms": [
            {
                "name": name,
                "words": about[name].meaning,
                "amount": amount,
                "unit": about[name].unit,
                "cost": ms,
            }
            for name, amount, ms in account.terms
        ],
        "choices_left": "" if account.room is None else room_words(account.room),
    }


def _other(made: Arrangement, other: Other, bar: int) -> dict[str, Any]:
    return {
        "shapes": changed_hands(made, other),
        "more": other.more,
        "words": sentence(made, other),
        "proven": other.proven,
        "pins": keeping(other.arrangement, bar),
    }


def keeping(made: Arrangement, played: int) -> list[str]:
    """What leaves the bar as it is there; nothing where its number names two bars."""
    number = made.tune.bars[made.tune.played[played - 1].written].number
    with suppress(ConditionError):
        return [pin.text for pin in kept_bars(made, Bars(number, number))]
    return []
