"""Whether strings are tuned far from what an instrument is strung for.

A string a fourth or more above its usual pitch may break, one so far below it is slack and buzzes:
common practice, no source. A middle or melody string that goes down in one of the usual tunings
(the melody string of D-A-A) is not told: players do that every day.

Public: strung_wrong, FAR.
"""

from collections.abc import Iterable, Sequence

from fretboard.instrument import Instrument
from fretboard.tuning import pitch_name

FAR = 5
"""Semitones: a fourth."""


def strung_wrong(own: Instrument, tuned: Instrument, usual: Iterable[Sequence[int]]) -> str:
    """A sentence on the strings that are too high or too low; empty where none is.

    own: the instrument as it is strung; tuned: the same in another tuning; usual: the pitches of
    usual tunings, at whatever height.
    """
    off = [pitch - at_rest for at_rest, pitch in zip(own.tuning, tuned.tuning, strict=True)]
    is_usual = _steps(tuned.tuning) in {_steps(pitches) for pitches in usual}
    high = [course for course, by in enumerate(off) if by >= FAR]
    low = [course for course, by in enumerate(off) if by <= -FAR and (course == 0 or not is_usual)]
    told = [
        _told(own, tuned, courses, way, then)
        for courses, way, then in (
            (high, "above", "may break"),
            (low, "below", "will be slack and may buzz"),
        )
        if courses
    ]
    if not told:
        return ""
    mends = ["put on strings that are made for that pitch"]
    if abs(off[0]) >= FAR:
        same = [pitch - off[0] for pitch in tuned.tuning]
        named = " ".join(map(pitch_name, same))
        mends.insert(0, f"write --tuning '{named}' for the same tuning at this instrument's pitch")
    return f"{'; '.join(told)} (common practice): {', or '.join(mends)}"


def _steps(pitches: Sequence[int]) -> tuple[int, ...]:
    return tuple(pitch - pitches[0] for pitch in pitches)


def _told(own: Instrument, tuned: Instrument, courses: Sequence[int], way: str, then: str) -> str:
    names = _listed([own.course_name(course) for course in courses])
    to = _listed([pitch_name(tuned.tuning[course]) for course in courses])
    made_for = _listed([pitch_name(own.tuning[course]) for course in courses])
    one = len(courses) == 1
    return (
        f"the {names} string{'' if one else 's'}, tuned to {to}, {'is' if one else 'are'} a fourth "
        f"or more {way} what this instrument is strung for ({made_for}), and {then}"
    )


def _listed(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if words[1:] else words)
