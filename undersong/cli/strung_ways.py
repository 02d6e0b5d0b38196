"""Tunings and capos that a player would take, of which the best are looked for.

Public: strung_options, capos_of, tunings_of.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import click

from undersong.cli.endings import naming, say

if TYPE_CHECKING:
    from fretboard.instrument import Instrument

Function = TypeVar("Function", bound=Callable[..., Any])

_CAPOS = "0,1,3,4"
"""Where a capo may sit if nobody says it: where the trade puts it."""

_OPTIONS = (
    click.option(
        "--tunings",
        metavar="TEXT",
        multiple=True,
        help="The tunings to look at, such as D-A-d,D-A-A; again for more.  [default: those of "
        "'undersong tunings' that the strings are made for]",
    ),
    click.option(
        "--capos",
        metavar="FRETS",
        default=_CAPOS,
        show_default=True,
        help="Where a capo may sit, counted from the nut; 0 is none.",
    ),
)


def strung_options(function: Function) -> Function:
    """Gives a click command the choice of tunings and capos."""
    for option in reversed(_OPTIONS):
        function = option(function)
    return function


def capos_of(text: str, own: Instrument) -> tuple[int, ...]:
    """The frets, ascending; Refused for one at which no capo can sit."""
    from fretboard.frets import fret_semitones

    found = set()
    for word in text.split(","):
        with naming("--capos"):
            fret = fret_semitones(word)
            own.with_capo(fret)
        found.add(fret)
    return tuple(sorted(found))


def tunings_of(
    texts: tuple[str, ...], own: Instrument, instrument: str
) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """(name, pitches): those asked for, else every preset that the strings are made for, the
    player's own first; each once. instrument: the preset or file that ``own`` is."""
    from fretboard import presets
    from fretboard.strung import strung_wrong
    from fretboard.tuning import pitch_name

    known = presets.tunings()
    names = {info.pitches: info.name for info in known}
    made_for = presets.instrument(instrument)
    usual = [info.pitches for info in known]
    pitches: dict[tuple[int, ...], None] = {}
    if not texts:
        near = [
            each
            for each in usual
            if len(each) == len(own.courses)
            and not strung_wrong(made_for, own.with_capo(0).with_tuning(each), usual)
        ]
        pitches = dict.fromkeys((own.tuning, *near))
    for text in (part for typed in texts for part in re.split(r"[,;]", typed)):
        with naming("--tunings"):
            tuned = presets.instrument(instrument, tuning=text)
        pitches[tuned.tuning] = None
        warning = strung_wrong(made_for, tuned, usual)
        if warning:
            say(f"warning: {warning}")
    return tuple((names.get(each, "-".join(map(pitch_name, each))), each) for each in pitches)
