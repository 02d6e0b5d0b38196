"""What every command that solves a tune begins with: the options become a session and its wishes.

Public: Opened, opened.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from undersong.cli.asked import (
    Asked,
    hand_of,
    instrument_of,
    refuse_lacking_all,
    style_of,
    tune_of,
    weights_of,
)
from undersong.cli.conditions import ConditionsAsked, conditions_of, wishes_asked
from undersong.cli.endings import Refused, say
from undersong.cli.unheard import refuse_unheard, tell_uncounted

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable

    from scoring.weights import Weights
    from solver.conditions import Conditions
    from solver.conditions.pins import Pin
    from solver.style import Style
    from undersong.session import Session


@dataclass(frozen=True)
class Opened:
    """session: the tune, instrument, hand and style that were asked for; the rest as asked."""

    session: Session
    weights: Weights
    conditions: Conditions


def opened(
    asked: Asked,
    wanted: ConditionsAsked | None,
    textures: Collection[str] = (),
    ready: Callable[[Session], None] | None = None,
) -> Opened:
    """wanted: None where nothing can be asked of the whole tune; textures: those that will be
    played, if not the one asked for; ready: looks at what else was asked, and raises where it
    cannot be, before anything is said of the tune. Says on stderr what of the tune could not be
    used. Raises Refused, or the rooms' own errors, one sentence each."""
    from solver.conditions import Conditions
    from undersong.session import Session

    if asked.left_handed and not asked.shapes_used:
        raise Refused("--left-handed: this turns the boxes of --shapes-used; ask for both")
    refuse_unheard(asked, textures or (asked.texture,))
    instrument, hand, weights = instrument_of(asked), hand_of(asked), weights_of(asked)
    tune = tune_of(asked)
    style = style_of(asked, tune, instrument)
    if wanted is None:
        conditions = Conditions()
    else:
        conditions = conditions_of(wanted, asked.tune, instrument, asked.from_capo, tune)
        _refuse_manners(
            conditions.pins,
            style,
            textures or (asked.texture,),
            lambda: wishes_asked(wanted, instrument, asked.from_capo).pins,
        )
    refuse_lacking_all(tune, asked.tune, style.texture, textures)
    session = Session(tune, instrument=instrument, hand=hand, style=style)
    if ready is not None:
        ready(session)
    tell_uncounted(asked.from_capo, [instrument])
    for notice in dict.fromkeys(tune.notices):
        say(f"note: {asked.tune}: {notice}")
    if asked.tuning is not None:
        from undersong.settings import strings_warning

        warning = strings_warning(asked.instrument, instrument)
        if warning:
            say(f"warning: {warning}")
    return Opened(session, weights, conditions)


def _refuse_manners(
    pins: Iterable[Pin],
    style: Style,
    textures: Iterable[str],
    typed: Callable[[], Collection[Pin]],
) -> None:
    """Refuses a pinned manner that none of the textures has; typed: gives the pins of --pin, the
    others stand in a file."""
    from solver.conditions.pinned import BassManner
    from solver.errors import StyleError
    from solver.style import BASS_ONLY, manners_in

    has = {manner for texture in textures for manner in manners_in(texture)}
    for pin in pins:
        if not isinstance(pin.pinned, BassManner) or pin.pinned.manner in has:
            continue
        manner, option = pin.pinned.manner, "--pin" if pin in typed() else "conditions"
        try:
            replace(style, manner=manner)
        except StyleError as error:
            mend = "; ask for --texture bass, or pin another" if manner in BASS_ONLY else ""
            raise Refused(f"{option} '{pin.text}': {error}{mend}") from None
