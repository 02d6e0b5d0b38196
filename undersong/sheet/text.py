"""The text tab: one page of plain text that survives e-mail, to put on a music stand and play.

Reads top to bottom: what and how; then lines of bars, each with sections, bar numbers, chords and
beats above the strings (bass on top, as the instrument lies on the lap), fingers beneath in the
same order, and what each bass note is to its chord; then, if asked for, a box for each shape; then
how good the answer is. The layout and
signs are our own, except for the trade's plain numbers on lines.

Public: text_tab, text_bytes.
"""

from solver.result import Arrangement
from undersong.sheet.folding import fold
from undersong.sheet.options import SheetOptions
from undersong.sheet.text_bar import BEAT, Reading
from undersong.sheet.text_shapes import shapes_used
from undersong.sheet.text_system import draw, string_names, systems
from undersong.sheet.text_words import footer, header


def text_tab(arrangement: Arrangement, options: SheetOptions | None = None) -> str:
    """The whole page, no line wider than ``options.width``, a newline at its end."""
    reading = Reading(arrangement, options or SheetOptions())
    folding = fold(arrangement)
    label = max(len(name) for name in (*string_names(reading), "bass")) + 1
    lines = header(reading, folding)
    found = systems(reading, folding, label)
    for number, system in enumerate(found, 1):
        lines += ["", *draw(reading, system, label, last=number == len(found))]
    commas = any(
        mark.row == BEAT and mark.text == ","
        for system in found
        for spaced in system
        for mark in spaced.piece.marks
    )
    if reading.options.shapes_used:
        lines += ["", *shapes_used(reading)]
    lines += ["", *footer(reading, commas)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def text_bytes(arrangement: Arrangement, options: SheetOptions) -> bytes:
    """The page as a file's content, UTF-8."""
    return text_tab(arrangement, options).encode("utf-8", "replace")
