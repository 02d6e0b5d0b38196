"""What a bass note may be called.

Public: bass_roles.
"""

from fretboard.instrument import Instrument
from scoring.moment import FOREIGN, ROLES, Moment


def bass_roles(
    moment: Moment, pitch: int, instrument: Instrument, carries: bool = False
) -> list[str]:
    """The roles that a bass note of that pitch may have: one of the chord's own, else foreign;
    carries: it is the melody's.

    Where the moment allows a drone, the open string may be one unless it is what is asked for.
    """
    if carries:
        return ["melody"]
    asked, may_be = moment.roles, moment.roles | moment.fallback
    own = [role for role in ROLES if role in may_be and moment.role_pitch_class(role) == pitch % 12]
    if moment.climbs and own:
        own = _of_figure(own, pitch, moment, instrument)
    drone = "drone" in may_be and pitch == instrument.pitch(0, instrument.capo)
    if own:
        return [own[0], "drone"] if drone and own[0] not in asked else own[:1]
    chord = moment.chord
    roles = ["drone"] if drone else []
    if chord is None or pitch % 12 not in moment.scale or pitch % 12 in chord.pitch_classes:
        return roles
    return [role for role in FOREIGN if role in asked] + roles


def _of_figure(own: list[str], pitch: int, moment: Moment, instrument: Instrument) -> list[str]:
    """Those of the roles that the pitch has in a figure: its root is the lowest on the bass string,
    its fifth lies between that and the octave above it."""
    lowest = _lowest("root", moment, instrument)
    places = {
        "root": pitch == lowest,
        "slash bass": pitch == _lowest("slash bass", moment, instrument),
        "fifth": lowest < pitch < lowest + 12,
        "octave": pitch == lowest + 12,
    }
    return [role for role in own if places[role]]


def _lowest(role: str, moment: Moment, instrument: Instrument) -> int:
    """The lowest pitch of the bass string that has the role, which some pitch has."""
    wanted = moment.role_pitch_class(role)
    pitches = (instrument.pitch(0, fret) for fret in instrument.frets(0))
    return next((pitch for pitch in pitches if pitch % 12 == wanted), -1)
