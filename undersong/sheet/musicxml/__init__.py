"""MusicXML 4.0 (``.musicxml``): a staff part and a tab part, for notation programs.

What is written, and what a program that reads it may rely on:

- Part P1 is the tune as it is sung: melody, words of every verse, chord symbols, sections, tempi;
  where times are written out and there is a verse for each, each time has its own.
  Part P2 is the tab. Both have the same bars: repeats as written where every time through has the
  same hands, else written out, as on a printed page; a field ``repeats`` says where a repeated
  bar has the fingers of its first time.
- A tab note stands for a string that is struck. It lasts until the next stroke, or until nothing
  sounds any more; a string that rings on beyond that has the standard's ``let-ring``; a bass note
  that the palm damps is marked staccato. Where strings ring and none is struck, rests are hidden.
- ``<fret>`` is the standard's: semitones above the open string (above the capo, which
  ``<staff-details>`` states), so that every program sounds the right pitch. The number that
  players read, such as 6+, stands beside it as ``<other-technical>fret 6+</other-technical>``.
- ``<string>`` 1 is the string nearest to the player (the melody string), as guitars count.
- ``<fingering>`` holds the letters that our pages print: T I M R P, or N for a noter.

No date and no random number is in it: the same arrangement gives the same bytes. Source: the
MusicXML 4.0 specification and schema.

Public: musicxml_bytes, to_musicxml.
"""

from xml.etree.ElementTree import Element, indent, tostring

from solver.result import Arrangement
from undersong.sheet.folding import fold
from undersong.sheet.musicxml.elements import add
from undersong.sheet.musicxml.frame import framed
from undersong.sheet.musicxml.head import head
from undersong.sheet.musicxml.staff import staff_part
from undersong.sheet.musicxml.tab import tab_part
from undersong.sheet.options import SheetOptions

_DECLARED = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)


def to_musicxml(arrangement: Arrangement, options: SheetOptions | None = None) -> str:
    """The document; options: which line the bass string has, and where printed frets count from.

    Raises SheetError, with the bar, for a rhythm that no written value has.
    """
    options = options or SheetOptions()
    folding = fold(arrangement)
    frames = framed(arrangement, folding)
    score = Element("score-partwise", version="4.0")
    head(score, arrangement, options, folding)
    staff_part(add(score, "part", id="P1"), arrangement, frames)
    tab_part(add(score, "part", id="P2"), arrangement, frames, options)
    indent(score, " ")
    return _DECLARED + tostring(score, "unicode") + "\n"


def musicxml_bytes(arrangement: Arrangement, options: SheetOptions) -> bytes:
    """The file's bytes."""
    return to_musicxml(arrangement, options).encode("utf-8")
