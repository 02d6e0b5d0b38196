"""Broken ABC: whatever is done to a good tune, the reader gives a tune or one TuneError."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tune.errors import TuneError
from tune.readers.abc import abc_tunes, read_abc
from tune.tune import Tune

GOOD = """%abc-2.1
X:1
T:Lantern Walk
C:The class
M:6/8
L:1/8
Q:"Gently" 3/8=80
P:AB
U:T=!trill!
V:1 treble
K:Dmix
P:A
D|:"D"d2f "G/B"g>ef|(3{gf}agf "A7"[A,2ce]-[A2e]|\\
"^H"e6-|1e3 !fermata!z2D:|2[M:9/8]"N.C."e9||
w:one two- three~four | * five_ six
P:B
[K:Em]|:^g_b=a ~b.c'd''|x3 y z3|Z2|.A/B//C3/2 D<E!1!F&GAB::
(5:4:5abcde [1,3 f6:|[2 "Em(G)"g6|]
s:"D" * !p!
W:words
V:2
C,6|
"""
SIGNS = [
    *"|:[](){}<>\"!'^_=-/\\,.~%&+*$yzxZXHTuvABCabc0123456789 \n#@;?♯é\0",
    "[K:",
    "M:",
    "\nX:2\n",
    "\nw:",
    "\ns:",
    "\n+:",
    "\nQ:",
    "\nK:",
    "(3:",
    ":|2",
    "999999",
    "%%begintext",
    "K:D exp ^f",
    "transpose=",
]


def attempt(text: str) -> Tune | None:
    """The tune or None; anything raised that is no TuneError of one line fails the test."""
    try:
        return read_abc(text, "fuzz.abc")
    except TuneError as error:
        sentence = str(error)
    assert sentence.startswith("fuzz.abc")
    assert "\n" not in sentence
    return None


def test_the_good_tune_is_good() -> None:
    tune = attempt(GOOD)
    assert tune is not None
    assert len(tune.bars) == 14


_edits = st.lists(
    st.tuples(
        st.integers(0, len(GOOD) - 1),
        st.integers(0, 12),
        st.lists(st.sampled_from(SIGNS), max_size=4).map("".join),
    ),
    min_size=1,
    max_size=6,
)


@settings(max_examples=250, deadline=None)
@given(_edits)
def test_edited_tunes(edits: list[tuple[int, int, str]]) -> None:
    text = GOOD
    for at, cut, put in edits:
        at = min(at, len(text))
        text = text[:at] + put + text[at + cut :]
    attempt(text)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sampled_from(SIGNS), max_size=60).map("".join))
def test_music_of_random_signs(music: str) -> None:
    attempt(f"X:1\nT:Try\nM:4/4\nL:1/8\nK:C\nA4|{music}\n")


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=200), st.none() | st.text(max_size=5))
def test_any_text_at_all(text: str, choose: str | None) -> None:
    for read in (lambda: read_abc(text, choose=choose), lambda: abc_tunes(f"X:1\n{text}")):
        try:
            read()
        except TuneError:
            continue


@pytest.mark.slow
def test_many_edited_tunes() -> None:
    rng = random.Random(5)
    good = 0
    for _ in range(20_000):
        text = GOOD
        for _ in range(rng.randint(1, 5)):
            at = rng.randrange(len(text) + 1)
            put = "".join(rng.choices(SIGNS, k=rng.randint(0, 4)))
            text = text[:at] + put + text[at + rng.choice((0, 0, 1, 2, 9)) :]
        good += attempt(text) is not None
    assert 1_000 < good < 19_000  # both outcomes are met
