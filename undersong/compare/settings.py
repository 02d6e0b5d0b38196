"""What an answer was asked for, each setting in a few words, to tell answers' settings apart.

Public: settings_of.
"""

from fretboard.frets import fret_label
from fretboard.tuning import pitch_name
from solver.conditions.words import parts_of
from solver.result import Arrangement


def settings_of(arrangement: Arrangement) -> dict[str, str]:
    """Setting → its words. Settings that are equal have the same words."""
    tune, instrument = arrangement.tune, arrangement.instrument
    hand, style = arrangement.hand, arrangement.style
    unused = "" if hand.noter or not hand.not_used else f", without {hand.not_used}"
    unused += "" if hand.thumb_on_bass else ", thumb off the bass string"
    frets = fret_label(instrument.capo)
    changed = ", ".join(f"{name} {ms}" for name, ms in arrangement.weights.changed)
    asked = "; ".join(part.words for part in parts_of(arrangement.conditions, instrument.told))
    top = instrument.capo + style.highest
    ceiling = instrument.capo + style.bass_ceiling
    return {
        "tune": tune.title,
        "key": str(tune.key),
        "beats a minute": str(tune.tempo.per_minute),
        "instrument": f"{instrument.name}, {instrument.scale_mm:g} mm",
        "tuning": " ".join(pitch_name(course.open) for course in instrument.courses),
        "capo": frets if instrument.capo else "none",
        "hand": f"{hand.name}, {hand.span_mm} mm{unused}",
        "level": str(arrangement.level.number) if arrangement.level else "none",
        "texture": style.texture,
        "bass": style.manner,
        "right hand": style.right_hand.name,
        "bass ceiling": instrument.told(ceiling),
        "highest fret": instrument.told(top),
        "weights changed": changed or "none",
        "conditions": asked or "none",
    }
