"""Repeat signs and endings of a MusicXML measure.

Public: Repeats, read_repeats.
"""

import re
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from tune.errors import TuneError
from tune.readers.musicxml.tree import shown, text, whole

MOST_TIMES = 99


@dataclass(frozen=True)
class Repeats:
    """What a measure's bar lines say.

    start, times: its own repeat signs (``times`` 1 for none); before_times, after_start: signs
    that files put on the neighbour's side of the line; endings: passes of the ending that covers
    the measure; open_endings: of the one that goes on after it.
    """

    start: bool = False
    times: int = 1
    before_times: int = 1
    after_start: bool = False
    endings: tuple[int, ...] = ()
    open_endings: tuple[int, ...] = ()


def read_repeats(measure: Element, open_endings: tuple[int, ...]) -> Repeats:
    """The repeats of ``measure``, into which an ending may reach from before."""
    start, times, before_times, after_start = False, 1, 1, False
    endings, follow = open_endings, open_endings
    for line in measure.findall("barline"):
        left = line.get("location", "right") == "left"
        ending, repeat = line.find("ending"), line.find("repeat")
        if line.get("location") == "middle" and (ending is not None or repeat is not None):
            raise TuneError("a repeat sign stands inside the bar; split the bar in two there")
        if ending is not None:
            passes = _passes(ending)
            if ending.get("type") == "start":
                follow = passes
                endings = passes if left else endings
            elif left:  # an ending closed on the near side of the line: it was the bar before's
                endings, follow = ((), ()) if endings == open_endings else (endings, follow)
            else:
                endings, follow = endings or passes, ()
        if repeat is None:
            continue
        if repeat.get("direction") == "forward":
            start, after_start = start or left, after_start or not left
        elif left:
            before_times = _times(repeat)
        else:
            times, follow = _times(repeat), ()
    return Repeats(start, times, before_times, after_start, endings, follow)


def _times(repeat: Element) -> int:
    """How often the passage is played in all; a repeat sign alone says twice."""
    times = whole(repeat.get("times", "2"), "a repeat's number of times")
    if not 2 <= times <= MOST_TIMES:
        raise TuneError(f"a repeat is played 2 to {MOST_TIMES} times in all, not {times}")
    return times


def _passes(ending: Element) -> tuple[int, ...]:
    """The passes an ending is for: ``1``, ``1, 2`` or ``1-3``; its printed text if it has none."""
    for words in (ending.get("number", ""), text(ending)):
        if not re.search(r"\d", words):
            continue
        passes: list[int] = []
        for part in re.split(r"[,. ]+", words.strip(" ,.")):
            span = re.fullmatch(r"(\d{1,2})(?:-(\d{1,2}))?", part, re.ASCII)
            if span is None:
                raise TuneError(f"an ending is numbered as in 1 or 1, 2, not {shown(words)!r}")
            passes += range(int(span[1]), int(span[2] or span[1]) + 1)
        if not passes or passes != sorted(set(passes)) or passes[0] < 1:
            raise TuneError(f"an ending is numbered as in 1 or 1, 2, not {shown(words)!r}")
        return tuple(passes)
    raise TuneError("an ending has no number; write 1 or 2 in it")
