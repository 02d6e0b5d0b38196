"""What a solo's strings may sound, and which of them are struck around the melody.

Public: solo_tones, melody_on_top, solo_struck.
"""

from collections.abc import Iterator

from undersong.check.fault import Fault
from undersong.check.passage import Passage


def solo_tones(passage: Passage) -> Iterator[Fault]:
    """Above the bass whatever sounds beside the melody, struck or ringing on, is a tone of the
    chord or open."""
    for index, ask in enumerate(passage.asks):
        chord = ask.time.chord
        if chord is None:
            continue
        carriers = passage.carriers(index)
        for course in range(1, passage.last + 1):
            pitch = passage.pitch(index, course)
            if pitch < 0 or course in carriers or passage.open(index, course):
                continue
            if pitch % 12 not in chord.pitch_classes:
                yield passage.fault(
                    index,
                    "chord tone",
                    f"{passage.string(course)} is stopped at a note foreign to {chord}",
                )


def melody_on_top(passage: Passage) -> Iterator[Fault]:
    """While a melody note sounds, no string sounds above it."""
    for index, ask in enumerate(passage.asks):
        for course in range(passage.last + 1):
            if ask.melody is not None and passage.pitch(index, course) > ask.melody:
                yield passage.fault(
                    index, "on top", f"{passage.string(course)} sounds above the melody"
                )


def solo_struck(passage: Passage) -> Iterator[Fault]:
    """Struck are the melody's string where a note begins, the bass where its manner asks, and no
    others than the pattern's; the string that holds a note is left alone."""
    for index, (choice, ask) in enumerate(zip(passage.choices, passage.asks, strict=True)):
        carriers = passage.carriers(index)
        if ask.melody is not None and not carriers:
            what = "begins" if ask.sings else "goes on"
            yield passage.fault(index, "melody", f"a melody note {what} here and no string has it")
            continue
        struck = [on and not (ask.sings and c in carriers) for c, on in enumerate(choice.struck)]
        pattern = (False, *ask.pattern[1:])
        if ask.time.chord is None:
            pattern = (False,) * len(struck)
        for course in range(1, len(struck)):
            if struck[course] and not pattern[course]:
                yield passage.fault(
                    index,
                    "right hand",
                    f"{passage.string(course)} is struck, and the pattern leaves it out here",
                )
        needed = ask.bass is not None and not ask.bass.optional and carriers != (0,)
        if needed and not struck[0]:
            rule = "root" if ask.first else "manner"
            yield passage.fault(index, rule, "the bass note asked for here is not struck")
        if struck[0] and ask.bass is None and not ask.again:
            yield passage.fault(
                index, "right hand", "the bass is struck where nothing asks for a bass note"
            )
