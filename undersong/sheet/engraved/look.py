"""What an engraved page looks like: sizes in mm before anything is enlarged, and inks.

The layout, its signs and its inks are our own.

Public: Look, look_of.
"""

from dataclasses import dataclass, replace

from undersong.sheet.lettering import POINT
from undersong.sheet.page_options import LARGE, PageOptions

LARGE_FIGURE = 18.2
"""Points."""


@dataclass(frozen=True)
class Look:
    """figure, letter: heights of the type of frets and fingers; gap: between the strings' lines;
    chord, section, small: of chord symbols, section names, and bar numbers and counts; line, ring:
    how thick a string's line is, and while it sounds; lyric: height of the words' type, in the
    engraving library's measure; ink, soft, accent, sound: colours.
    """

    figure: float = 3.9
    letter: float = 2.7
    gap: float = 4.6
    chord: float = 4.1
    section: float = 4.3
    small: float = 2.5
    line: float = 0.16
    ring: float = 0.55
    lyric: float = 4.2
    ink: str = "#000"
    soft: str = "#6b6b6b"
    accent: str = "#0b5060"
    sound: str = "#8a9ba0"


def look_of(options: PageOptions) -> Look:
    """The sizes and inks that the options ask for. In large print a figure is 18 points high at
    the least, once enlarged."""
    look = Look()
    if options.large:
        figure = LARGE_FIGURE * POINT / LARGE
        look = replace(look, figure=figure, letter=0.7 * figure, gap=1.16 * figure, lyric=4.9)
        look = replace(look, chord=figure, small=2.9)
    if options.contrast:
        look = replace(look, line=0.22, ring=0.65, soft="#000", accent="#000", sound="#000")
    return look
