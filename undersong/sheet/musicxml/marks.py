"""The playing marks that a tune keeps, as notations.

A hammer-on or pull-off has two ends in the standard: it starts on the note that is struck and stops
on the one that is not, which is where a tune keeps it.

Public: put_marks, begins_after.
"""

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from undersong.sheet.musicxml.elements import add

_SLURRED = {"hammer-on": "H", "pull-off": "P"}


def put_marks(inner: Element, marks: Sequence[str]) -> None:
    """Adds the marks of one note to its notations."""
    technical = [mark for mark in marks if mark != "fermata"]
    if technical:
        group = add(inner, "technical")
        for mark in technical:
            if mark in _SLURRED:
                add(group, mark, type="stop", number="1")
            elif mark.startswith("finger "):
                add(group, "fingering", mark.removeprefix("finger "))
            elif mark == "open string":
                add(group, "open-string")
            else:
                add(group, "other-technical", mark)
    if "fermata" in marks:
        add(inner, "fermata", type="upright")


def begins_after(inner: Element, marks: Sequence[str]) -> None:
    """Adds the beginning of what the next note's marks end."""
    slurred = [mark for mark in marks if mark in _SLURRED]
    if slurred:
        group = inner.find("technical")
        if group is None:
            group = add(inner, "technical")
        for mark in slurred:
            add(group, mark, _SLURRED[mark], type="start", number="1")
