"""What players call a tuning.

Public: tuning_name.
"""

from functools import cache

from fretboard import presets
from fretboard.instrument import Instrument
from fretboard.tuning import pitch_name


@cache
def _names() -> dict[tuple[int, ...], str]:
    return {info.pitches: info.name for info in presets.tunings()}


def tuning_name(instrument: Instrument) -> str:
    """As players write it where it is a usual tuning, else its pitches."""
    spelled = "-".join(map(pitch_name, instrument.tuning))
    return _names().get(instrument.tuning, spelled)
