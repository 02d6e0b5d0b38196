"""Columns of the text tab: where each tick of a bar stands, so that nothing collides.

Beats are evenly spaced as far as the words and signs above and below allow.

Public: Spaced, space, beat_width, BARS_A_LINE.
"""

from dataclasses import dataclass

from tune.time import QUARTER, Metre
from undersong.sheet.text_bar import BASS, CHORD, HEADING, NUMBER, Piece

BARS_A_LINE = 4
ABOVE = (NUMBER, CHORD)
"""Rows whose words may reach over the bar line a little; headings may reach over whole bars."""


@dataclass(frozen=True)
class Spaced:
    """columns: where each tick stands, from the bar's first column; width: columns in all, bar
    lines left out."""

    piece: Piece
    columns: dict[int, int]
    width: int


def beat_width(metre: Metre, room: int) -> int:
    """Columns of a beat: four for a quarter note; in compound metres six, or down to four where
    four bars then share a line of ``room`` columns."""
    if not metre.compound:
        return max(2, 4 * metre.beat // QUARTER)
    each = (room // BARS_A_LINE - 2) // metre.felt_beats
    return each if each in (4, 5) else 6


def space(piece: Piece, beat: int) -> Spaced:
    """The piece with columns; beat: columns that a beat should have."""
    ends: dict[str, int] = {}
    columns: dict[int, int] = {}
    rows: dict[int, list[tuple[str, int]]] = {}
    for mark in piece.marks:
        if mark.row == HEADING:
            continue
        rows.setdefault(mark.tick, []).append((mark.row, len(mark.text)))

    def even(tick: int) -> int:
        return round((tick - piece.start) * beat / piece.beat)

    column, before, clear = 0, piece.start, 0
    for tick in piece.ticks:
        column = max(column + even(tick) - even(before), clear)
        for row, _ in rows.get(tick, []):
            column = max(column, ends.get(row, 0))
        for row, length in rows.get(tick, []):
            ends[row] = column + length + (row != BASS)  # whose signs part themselves
            if row not in ABOVE:  # so that no number reaches under the next beat
                clear = max(clear, column + length)
        columns[tick] = column
        before = tick
    above = max((ends.get(row, 0) for row in ABOVE), default=0)
    others = max((end for row, end in ends.items() if row not in ABOVE), default=0)
    width = max(column + even(piece.end) - even(before), others, above - 2)
    return Spaced(piece, columns, width)
