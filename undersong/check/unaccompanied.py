"""What a bass part and a drone leave alone.

Public: bass_alone, drone_true.
"""

from collections.abc import Iterator

from undersong.check.fault import Fault
from undersong.check.passage import Passage


def bass_alone(passage: Passage) -> Iterator[Fault]:
    """No string but the bass is struck or sounds."""
    for index, choice in enumerate(passage.choices):
        for course in range(1, passage.last + 1):
            if choice.struck[course] or passage.pitch(index, course) >= 0:
                yield passage.fault(
                    index, "alone", f"{passage.string(course)} is played in a bass part"
                )


def drone_true(passage: Passage) -> Iterator[Fault]:
    """Every string but the last is silent before the first note, and from then on rings open; its
    name, where the bass is struck, is drone."""
    begun = False
    for index, (choice, ask) in enumerate(zip(passage.choices, passage.asks, strict=True)):
        begun |= ask.sings
        for course in range(passage.last):
            if not begun and passage.pitch(index, course) >= 0:
                yield passage.fault(
                    index, "drone", f"{passage.string(course)} sounds before the melody begins"
                )
            elif begun and not passage.open(index, course):
                yield passage.fault(
                    index, "drone", f"{passage.string(course)} should ring open here"
                )
        if choice.role != ("drone" if choice.struck[0] else None):
            yield passage.fault(
                index, "role", "a drone's bass note is called drone, where it is struck"
            )
