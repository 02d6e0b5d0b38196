"""What players call a tuning.

Public: tuning_name, strung.
"""

from functools import cache

from fretboard import presets
from fretboard.frets import fret_label
from fretboard.instrument import Instrument
from fretboard.tuning import pitch_name


@cache
def _names() -> dict[tuple[int, ...], str]:
    return {info.pitches: info.name for info in presets.tunings()}


def tuning_name(instrument: Instrument) -> str:
    """As players write it where it is a usual tuning, else its pitches."""
    spelled = "-".join(map(pitch_name, instrument.tuning))
    return _names().get(instrument.tuning, spelled)


def strung(instrument: Instrument, name: str) -> str:
    """``D-A-d, capo 1``: the tuning of that name, and the capo if there is one."""
    return f"{name}, capo {fret_label(instrument.capo)}" if instrument.capo else name
