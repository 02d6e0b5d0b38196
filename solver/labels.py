"""Labels: from which label one may go to which, and what the bass line's step costs.

The tones heard and the bass line follow from the label before and from what the next shape strikes
and sounds (its kind); foreign bass notes go where they must. Labels before that may go on to the
same ones at the same cost, whatever the weights, share a row.

Public: LabelWays, label_ways.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from scoring.choice import ROLE_CODE, Bools, Ints
from scoring.terms import LINE_TERMS
from scoring.weights import Weights
from solver.arrays import Cost, Rows
from solver.layers import Layer
from solver.line import APPROACH, COMES, COMES_BY, GOES, STRAIGHT, TARGETS, column


@dataclass(frozen=True)
class LabelWays:
    """fits: (labels before, kinds after, labels after), whether that label may go on to a shape of
    that kind with that label; starts, nexts: the same as ranges: from label l to kind k lead
    nexts[starts[r] : starts[r + 1]] with r = l · kinds + k; possible: (kinds before, kinds after),
    whether any of their labels fit."""

    before: Layer
    after: Layer
    fits: Bools
    starts: Rows
    nexts: Rows
    possible: Bools

    @cached_property
    def line_amounts(self) -> dict[str, Ints]:
        """Term name → (labels before, labels after) what the bass line's step counts."""
        old, new = self.before.labels, self.after.labels
        before, after = np.broadcast_arrays(old.line[:, None], new.line[None, :])
        struck = np.broadcast_to((new.role >= 0).astype(np.int32), before.shape)
        amounts = {
            term.about.name: term.amount(before, after, struck, self.after.moment)
            for term in LINE_TERMS
        }
        return {name: amount for name, amount in amounts.items() if amount.any()}

    def line_costs(self, weights: Weights) -> Cost:
        """(labels before, labels after): ms that the bass line's step costs."""
        total = np.zeros((len(self.before.labels), len(self.after.labels)), np.int64)
        for name, amount in self.line_amounts.items():
            total += amount * np.int64(weights[name])
        return total

    @cached_property
    def row(self) -> Rows:
        """(labels before,): each label's row."""
        return self._rows[1]

    @cached_property
    def of_row(self) -> Rows:
        """(rows,): one label of each row."""
        return self._rows[0]

    @cached_property
    def _rows(self) -> tuple[Rows, Rows]:
        count = len(self.before.labels)
        some = self.fits.any(axis=1)
        fits = np.packbits(self.fits.reshape(count, -1), axis=1)
        counted = [np.where(some, amount, 0) for amount in self.line_amounts.values()]
        numbers: dict[bytes, int] = {}
        first, row = [], []
        for label in range(count):
            told_apart = b"".join(each[label].tobytes() for each in (fits, *counted))
            if told_apart not in numbers:
                numbers[told_apart] = len(numbers)
                first.append(label)
            row.append(numbers[told_apart])
        return np.array(first, np.intp), np.array(row, np.intp)


def label_ways(before: Layer, after: Layer) -> LabelWays:
    """What the labels of two neighbouring layers allow."""
    old, new = before.labels, after.labels
    kinds = after.kinds
    struck, sounding = kinds[:, 0][None, :], kinds[:, 2][None, :]
    resting = after.moment.chord is None
    ends = np.bool_(resting) & (kinds[:, 1] < 0)[None, :]
    line = np.where(struck >= 0, struck, np.where(ends, -1, old.line[:, None]))
    if resting:
        heard = np.zeros_like(line)
    elif after.moment.change:
        heard = np.broadcast_to(sounding, line.shape)
    else:
        heard = old.heard[:, None] | sounding
    fits = (line[:, :, None] == new.line) & (heard[:, :, None] == new.heard)
    fits &= after.kind_labels[None, :, :]
    fits &= _bass_follows(before, after)[:, None, :]
    row, nexts = np.nonzero(fits.reshape(-1, len(new)))
    starts = np.searchsorted(row, np.arange(len(old) * len(kinds) + 1))
    possible = (before.kind_labels @ fits.any(axis=2)).astype(np.bool_)
    return LabelWays(before, after, fits, starts, nexts, possible)


def _bass_follows(before: Layer, after: Layer) -> Bools:
    """(labels before, labels after): whether foreign bass notes come from and go where they must
    at the next bass note, however many strums lie between, and a bass string struck again keeps
    its note where the moment says so, unless it carries the melody."""
    old, new = before.labels, after.labels
    struck = (new.role >= 0)[None, :]
    up = new.line[None, :] - old.line[:, None]
    known = (old.line >= 0)[:, None]
    going_from, going_to = old.going[:, None], new.going[None, :]
    step = column(up)
    followed = COMES[going_to, step] & (known | ~np.isin(going_to, list(COMES_BY)))
    root = np.isin(new.role, [ROLE_CODE[role] for role in TARGETS])[None, :]
    lands = np.bool_(after.moment.change) & root
    followed &= GOES[going_from, step] & (lands | (going_from != APPROACH))
    followed &= (going_from == STRAIGHT) | (going_to == STRAIGHT)
    if after.moment.keeps:
        followed &= (up == 0) | (new.role == ROLE_CODE["melody"])[None, :]
    return np.asarray(np.where(struck, followed, going_from == going_to), np.bool_)
