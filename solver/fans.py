"""Fans: where the labels of one layer may go on to, spelled out shape by shape.

Labels before are told apart by their row only (``solver.labels``). A slot is a row with a shape
after that some of the row's labels may go on to; its entries are the nodes of that shape that they
may become. A stem is a shape before with the row of one of its nodes: all nodes of a stem have the
same ways on. No weight touches any of this.

Public: Fan, fan_of.
"""

from dataclasses import dataclass

import numpy as np

from scoring.choice import Ints
from solver.arrays import Rows
from solver.labels import LabelWays


@dataclass(frozen=True)
class Fan:
    """Entries by slot, slots and stems by row.

    row, node, label: (entries,) the row before, the node after, its label; starts: (slots + 1,)
    where each slot's entries begin; head: (slots,) its shape; slots: (rows + 1,) where each row's
    slots begin; slot_of: (rows, shapes after), -1 for none; stem: (nodes before,) each node's;
    tail, tail_row: (stems,) shape and row; stems: (rows + 1,) where each row's stems begin.
    """

    row: Rows
    node: Rows
    label: Rows
    starts: Rows
    head: Rows
    slots: Rows
    slot_of: Ints
    stem: Rows
    tail: Rows
    tail_row: Rows
    stems: Rows


def fan_of(ways: LabelWays) -> Fan:
    """The fan of two layers' labels."""
    before, after = ways.before, ways.after
    rows, heads, tails = len(ways.of_row), len(after.shapes), len(before.shapes)
    allowed = ways.fits[ways.of_row][:, after.kind[after.shape], after.label]
    row, node = np.nonzero(allowed)
    slot_number = row * heads + after.shape[node]  # ascending, since nodes go by shape
    starts = np.flatnonzero(np.diff(slot_number, prepend=-1))
    slots = slot_number[starts]
    slot_of = np.full((rows, heads), -1, np.int32)
    slot_of.reshape(-1)[slots] = np.arange(len(slots))
    stem_number = ways.row[before.label] * tails + before.shape
    there = np.zeros(rows * tails, np.bool_)
    there[stem_number] = True
    stems = np.flatnonzero(there)
    stem = (np.cumsum(there) - 1)[stem_number]
    bounds = np.arange(rows + 1)
    return Fan(
        row,
        node,
        after.label[node],
        np.append(starts, len(row)),
        slots % heads,
        np.searchsorted(slots, bounds * heads),
        slot_of,
        stem,
        stems % tails,
        stems // tails,
        np.searchsorted(stems, bounds * tails),
    )
