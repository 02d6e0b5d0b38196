"""Settings as a player gives them, made into the values that the rooms work with.

The command line and the desk ask for the same things and call them by other names: each brings a
``Naming``, which puts its own name to whatever is complained of.

Public: strung_as, strings_warning, style_from, above_capo, Naming.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fretboard.instrument import Instrument
    from solver.style import Style
    from tune.tune import Tune

Naming = Callable[[str], AbstractContextManager[None]]
"""A setting's name → what turns the rooms' errors into a complaint about it."""


def strung_as(
    naming: Naming, *, instrument: str, scale: str | None, tuning: str | None, capo: str
) -> Instrument:
    """The instrument, strung and capoed; each setting is tried before the next, so that what is
    wrong is named."""
    from fretboard import presets

    with naming("instrument"):
        presets.instrument(instrument)
    with naming("scale"):
        presets.instrument(instrument, scale=scale)
    with naming("tuning"):
        presets.instrument(instrument, scale=scale, tuning=tuning)
    with naming("capo"):
        return presets.instrument(instrument, scale=scale, tuning=tuning, capo=capo)


def strings_warning(instrument: str, strung: Instrument) -> str:
    """A sentence on strings that are tuned far from what the instrument is made for, or nothing."""
    from fretboard.presets import instrument as preset
    from fretboard.presets import tunings
    from fretboard.strung import strung_wrong

    return strung_wrong(preset(instrument), strung, [info.pitches for info in tunings()])


def style_from(
    naming: Naming,
    tune: Tune | None,
    instrument: Instrument,
    *,
    texture: str,
    manner: str | None,
    right_hand: str,
    no_chord: str,
    bass_above: bool,
    graces: bool,
    limits: Mapping[str, int | None],
) -> Style:
    """The style; tune, instrument: for what follows from them where nothing was said, None for a
    tune that is not read yet; right_hand: a preset's name or a file; limits: ``bass_ceiling``,
    ``highest`` and ``melody_highest`` in semitones above the open (or capoed) string, None for the
    usual."""
    from solver import righthand
    from solver.style import Style, usual_manner

    with naming("texture"):
        Style(texture=texture, manner=usual_manner(texture))
    manner = manner or usual_manner(texture)
    with naming("manner"):
        Style(texture=texture, manner=manner)
    with naming("right_hand"):
        pattern = righthand.right_hand(right_hand)
    with naming("no_chord"):
        Style(no_chord=no_chord)
    given = {name: fret for name, fret in limits.items() if fret is not None}
    if texture == "bass" and "bass_ceiling" not in given and tune is not None:
        from solver.bass_part import usual_bass_ceiling

        given["bass_ceiling"] = usual_bass_ceiling(tune, instrument)
    return Style(
        manner=manner,
        right_hand=pattern,
        no_chord=no_chord,
        bass_lowest=not bass_above,
        texture=texture,
        graces=graces,
        **given,
    )


def above_capo(label: str, instrument: Instrument, from_capo: bool = False) -> int:
    """A printed fret in semitones above the open (or capoed) string; FretboardError for what is no
    fret, or lies before the capo."""
    from fretboard.errors import FretboardError

    fret = instrument.fret_of(label, from_capo)
    if fret < instrument.capo:
        raise FretboardError(
            "that fret lies behind the capo; frets are counted from the nut, "
            "or from the capo with --from-capo"
        )
    return fret - instrument.capo
