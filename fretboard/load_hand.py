"""A hand from its TOML table. A reach setting is a preference, not medical advice (see
``fretboard.hand.CAUTION``).

A file may leave anything out; what is left out is as in the medium hand. Keys::

    meaning = "one line for the list"
    span = 205              # mm from thumb tip to little finger tip, stretched; or "8in"
    may_bar = "IMR"         # fingers that may lie across several strings
    not_used = "P"          # fingers left out
    thumb_on_bass = false   # the thumb keeps off the bass string
    noter = true            # a stick that stops the melody string, instead of fingers
    [movement]              # ms, ms a bit, mm, per cent: see fretboard.hand.Movement
    hand_a = 60
    slide_a = 20            # a noter's slide along its string, with slide_b; for noters alone
    [comfortable]           # mm between two fingertips without effort
    "T-I" = 109
    [greatest]              # mm between two fingertips at most
    "T-I" = 136

Public: hand_from, HAND_KEYS.
"""

from dataclasses import fields, replace
from itertools import combinations

from fretboard.errors import FretboardError
from fretboard.hand import FINGERS, SLIDE_A, SLIDE_B, Hand, Movement, Reach
from fretboard.reading import Table

HAND_KEYS = (
    "meaning", "span", "may_bar", "not_used", "thumb_on_bass", "noter", "movement", "comfortable",
    "greatest",
)  # fmt: skip
_PAIRS = {f"{FINGERS[a]}-{FINGERS[b]}": (a, b) for a, b in combinations(range(len(FINGERS)), 2)}
_DEFAULT = Hand()
_SLIDE = ("slide_a", "slide_b")


def hand_from(table: Table, name: str) -> Hand:
    """The hand that the table describes; FretboardError names file and key."""
    table.text("meaning", "")
    span = round(table.mm("span", _DEFAULT.span_mm))
    noter = table.flag("noter", False)
    movement = _movement(table, noter)
    comfortable, greatest = _reach(table, "comfortable"), _reach(table, "greatest")
    may_bar = table.text("may_bar", _DEFAULT.may_bar)
    not_used = table.text("not_used", _DEFAULT.not_used)
    thumb_on_bass = table.flag("thumb_on_bass", _DEFAULT.thumb_on_bass)
    for key in ("may_bar", "not_used"):
        if noter and table.values.get(key):
            raise table.error(key, "left out, since a noter is no finger and lies on one string")
    if noter and not thumb_on_bass:
        raise table.error("thumb_on_bass", "left out, since a noter is no finger")
    try:
        return Hand(
            name, span, may_bar, not_used, movement, comfortable, greatest, noter, thumb_on_bass
        )
    except FretboardError as error:
        raise FretboardError(f"{table.where}: {error}") from None


def _movement(table: Table, noter: bool) -> Movement:
    usual = replace(_DEFAULT.movement, slide_a=SLIDE_A, slide_b=SLIDE_B)
    names = [field.name for field in fields(Movement)]
    given = table.table("movement", *names)
    for name in _SLIDE:
        if not noter and name in given.values:
            raise given.error(name, "left out, since it is a noter's and this hand holds none")
    names = [name for name in names if noter or name not in _SLIDE]
    values = {name: given.whole(name, getattr(usual, name)) for name in names}
    try:
        return Movement(**values)
    except FretboardError as error:
        raise FretboardError(f"{given.where}: {error}") from None


def _reach(table: Table, key: str) -> Reach:
    """Pair of finger numbers → tenths of a mm."""
    given = table.table(key, *_PAIRS)
    return {_PAIRS[pair]: round(10 * given.mm(pair, 0)) for pair in given.values}
