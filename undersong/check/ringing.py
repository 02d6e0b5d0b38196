"""What rings, what is damped, what is silent, and which strings the right hand strikes.

Public: rings_true, right_hand_true.
"""

from collections.abc import Iterator

from undersong.check.ask import Ask
from undersong.check.fault import Fault
from undersong.check.passage import Passage


def rings_true(passage: Passage) -> Iterator[Fault]:
    """A string that is not struck sounds only as it did the moment before; struck ones sound;
    damped bass notes end with their moment; a rest is silent."""
    damped = passage.arrangement.style.right_hand.damped and passage.texture != "drone"
    for index, (choice, ask) in enumerate(zip(passage.choices, passage.asks, strict=True)):
        grip = choice.grip
        for course, struck in enumerate(choice.struck):
            fret, string = grip.frets[course], passage.string(course)
            if ask.time.chord is None and course not in passage.carriers(index):
                if struck or fret >= 0:
                    yield passage.fault(index, "rest", f"{string} sounds where no chord is")
                continue
            if struck and fret < 0:
                yield passage.fault(index, "ringing", f"{string} is struck and does not sound")
            if struck or fret < 0:
                continue
            if course == 0 and damped and ask.time.chord is not None:
                yield passage.fault(index, "damping", f"{string} rings on though it is damped")
                continue
            before = passage.choices[index - 1].grip if index else None
            if before is None or before.frets[course] < 0:
                yield passage.fault(index, "ringing", f"{string} sounds and nothing struck it")
            elif (before.frets[course], before.fingers[course]) != (fret, grip.fingers[course]):
                yield passage.fault(
                    index, "ringing", f"{string} rings on while its fret or finger changes"
                )


def right_hand_true(passage: Passage) -> Iterator[Fault]:
    """The strings struck are those of the pattern, with the bass notes of the manner."""
    for index, (choice, ask) in enumerate(zip(passage.choices, passage.asks, strict=True)):
        if ask.time.chord is None or choice.struck in ask.strikes:
            continue
        if not choice.struck[0] and all(strings[0] for strings in ask.strikes):
            yield passage.fault(index, _missing(ask), "the bass note asked for here is not struck")
        elif choice.struck[0] and not any(strings[0] for strings in ask.strikes):
            yield passage.fault(
                index, "right hand", "the bass is struck where nothing asks for a bass note"
            )
        if choice.struck[1:] not in [strings[1:] for strings in ask.strikes]:
            yield passage.fault(
                index, "right hand", "the strings struck are not those of the pattern"
            )


def _missing(ask: Ask) -> str:
    """The rule that a missing bass note breaks."""
    if ask.first:
        return "root"
    return "right hand" if ask.again else "manner"
