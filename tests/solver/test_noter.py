"""A noter's drones: the search against every sequence written down, and moves by table."""

import random

import numpy as np
import pytest

import undersong
from fretboard.hand import Hand
from fretboard.presets import hand, instrument
from scoring.weights import Weights
from solver.conditions import NONE
from solver.moments import moments_of
from solver.style import Style
from tests.solver.brute import Page
from tests.solver.oracles import Book
from tune.readers.abc import read_abc
from tune.tune import Tune
from undersong.chords import with_drone

STYLE = Style(manner="held", texture="drone")
STANDARD = instrument()


def drawn(seed: int) -> Tune:
    """A short melody on the melody string, open now and then, from slow to very quick."""
    dice = random.Random(f"noter {seed}")
    notes = [dice.choice("DDEFGABcd") for _ in range(6)]
    head = f"X:1\nT:t\nM:3/4\nL:1/4\nQ:1/4={dice.choice((40, 90, 200, 400))}\nK:D\n"
    return with_drone(read_abc(head + "".join(notes[:3]) + "|" + "".join(notes[3:]) + "|]\n"))


@pytest.mark.parametrize("left", [hand("noter"), Hand(noter=True)], ids=["whole", "in two parts"])
def test_no_other_way_costs_less(left: Hand) -> None:
    several = slid = 0
    for seed in range(12):
        tune = drawn(seed)
        made = undersong.arrange(tune, hand=left, style=STYLE)
        moments = moments_of(tune, STYLE, 3)
        book = Book(moments, STANDARD, left, STYLE, Weights())
        told = Page(book, tune).best(NONE)
        assert told is not None
        assert made.cost == made.proof.bound == told.cost
        several += book.count() > 1
        frets = np.array([choice.grip.frets[-1] for choice in made.choices])
        slid += int(((frets[1:] > 0) & (frets[:-1] > 0) & (frets[1:] != frets[:-1])).sum())
    assert several >= 6
    assert slid >= 20
