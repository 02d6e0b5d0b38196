"""A pin that cannot be kept says which rule it contradicts, and without that rule it can be.

Shapes and bass notes on D3 A3 D4 are TRADE.md's: Em has its root at fret 1, G at 3, A at 4.
"""

import random
from dataclasses import replace
from typing import Any

import pytest
from music21.harmony import ChordSymbol

from fretboard.hand import FINGERS, Hand
from fretboard.presets import instrument
from scoring.moment import Moment
from solver.conditions import Conditions
from solver.conditions.bars import Bars
from solver.conditions.few_shapes import FewShapes, known_shapes
from solver.conditions.pinned import BassNote, BassRole, OneString, Pinned, Shape
from solver.conditions.pins import Pin, manners_of
from solver.conditions.wording import read_shape
from solver.errors import ConditionError, NotPlayable
from solver.graph import ChoiceGraph, build_graph
from solver.held import Held
from solver.layers import Past, build_layer
from solver.moments import moments_of
from solver.pinning import masks, masks_of
from solver.righthand import right_hand
from solver.style import Style
from tests.solver.instances import Instance, small
from tests.solver.made import case_of, graph_of

HAND = Hand(span_mm=240)
CHORDS = ("D", "Em", "G", "A", "D")


def asked(case: Instance, pins: tuple[str, ...], forbid: tuple[str, ...] = ()) -> Conditions:
    made = [pin for text in pins for pin in Pin.parse(text, False, case.instrument)]
    made += [pin for text in forbid for pin in Pin.parse(text, True, case.instrument)]
    return Conditions(pins=tuple(made))


def judged(case: Instance, conditions: Conditions) -> None:
    """Raises what is against it."""
    manners = manners_of(case.tune, conditions.pins)
    moments = moments_of(case.tune, case.style, len(case.instrument.courses), manners)
    graph = build_graph(moments, Held(*case.asked[1:4]))
    masks_of(graph, case.tune, conditions, *case.asked[1:4])


def refusal(case: Instance, *pins: str, forbid: tuple[str, ...] = ()) -> str:
    with pytest.raises(NotPlayable) as refused:
        judged(case, asked(case, pins, forbid))
    message = str(refused.value)
    assert "\n" not in message
    assert refused.value.chord
    return message


def made(
    style: Style | None = None, hand: Hand = HAND, chords: tuple[str, ...] = CHORDS
) -> Instance:
    return case_of(*chords, hand=hand, style=style or Style())


# Each rule by hand, and that the pin holds once the rule is out of the way.


def test_a_string_that_is_no_tone_of_the_chord() -> None:
    assert refusal(made(), "2: *-3-*") == (
        "bar 2, beat 2: 'bar 2: *-3-*' cannot be kept: the middle string at fret 3 sounds D, "
        "which is no tone of the chord Em"
    )
    case = made(chords=("D", "Em7", "G", "A", "D"))
    judged(case, asked(case, ("2: *-3-*",)))  # Em7 has a D


def test_a_chord_begins_on_its_root() -> None:
    says = "the bass must take the root (E) where Em begins"
    assert refusal(made(), "2: bass 3").endswith(f"{says}, and fret 3 is G")
    assert refusal(made(), "2 beat 1: bass role fifth").endswith(says)
    assert refusal(made(), "2: bass note G").endswith(says)
    for text in ("2: bass 3", "2 beat 1: bass role fifth", "2: bass note G"):
        free = made(Style("free"))
        judged(free, asked(free, (text,)))


def test_the_manner_takes_its_notes() -> None:
    says = "the bass may take the root (E) or fifth (B) of Em here"
    assert refusal(made(), "2 beat 3: bass 3").endswith(f"{says}, and fret 3 is G")
    assert refusal(made(), "2 beat 3: bass role passing").endswith(says)
    walking = made(Style("walking"))
    judged(walking, asked(walking, ("2 beat 3: bass 3", "2 beat 4: bass role passing")))
    here = made()
    judged(here, asked(here, ("2: manner walking", "2 beat 3: bass 3")))


def test_foreign_notes_come_by_step() -> None:
    # where a chord begins there is only its root, D, and no step from it leads to A
    walking = made(Style("walking"), chords=("D", "D"))
    assert refusal(walking, "1 beat 2: bass role passing", "1 beat 2: bass 4").startswith(
        "bar 1, beat 2: 'bar 1, beat 2: bass role passing' and 'bar 1, beat 2: bass 4' cannot all"
    )
    judged(walking, asked(walking, ("1 beat 2: bass role passing", "1 beat 2: bass 1")))
    short = made(Style("walking", bass_ceiling=2), chords=("D", "D"))
    assert refusal(short, "1 beat 2: bass role approach").endswith(
        "no approach note can come from the bass note before"
    )


def test_frets_above_the_ceiling() -> None:
    assert refusal(made(), "1: bass 14").endswith("fret 14 lies above the bass ceiling, fret 7")
    assert refusal(made(), "1: melody 14").endswith("above the highest allowed, fret 10")
    high = made(Style(bass_ceiling=24, highest=36))
    judged(high, asked(high, ("1: melody 14",)))
    assert "ceiling" not in refusal(high, "2: bass 14")


def test_no_string_below_the_bass() -> None:
    # D4 on the bass string under open A3
    strum = made(Style(right_hand=right_hand("full-strum")))
    assert refusal(strum, "1 beat 1: 7-0-0").endswith("another string would sound below the bass")
    below = replace(strum, style=replace(strum.style, bass_lowest=False))
    judged(below, asked(below, ("1 beat 1: 7-0-0",)))


def test_the_hand_reaches_no_further() -> None:
    strum = made(Style(right_hand=right_hand("full-strum")), Hand(span_mm=160))
    assert refusal(strum, "3 beat 1: 3-1-0 IM").endswith("the hand cannot reach it")
    long = replace(strum, hand=Hand(span_mm=320))
    judged(long, asked(long, ("3 beat 1: 3-1-0 IM",)))


def test_fingers_do_not_cross() -> None:
    full = made(Style(right_hand=right_hand("full-strum")))
    assert refusal(full, "3 beat 1: 3-1-0 IT").endswith("the fingers would have to cross, or lie "
                                                        "across a lower fret")  # fmt: skip
    judged(full, asked(full, ("3 beat 1: 3-1-0 TI",)))


def test_a_finger_that_is_left_out() -> None:
    case = made(hand=replace(HAND, not_used="TP"))
    assert refusal(case, "3: bass P").endswith("this hand does not use P")
    judged(made(), asked(made(), ("3: bass P",)))


def test_a_thumb_that_keeps_off_the_bass_string() -> None:
    case = made(hand=replace(HAND, thumb_on_bass=False))
    assert refusal(case, "3: bass T").endswith("this hand keeps its thumb off the bass string")
    judged(made(), asked(made(), ("3: bass T",)))


def test_a_finger_that_does_not_bar() -> None:
    full = Style(right_hand=right_hand("full-strum"))
    case = made(full, replace(HAND, may_bar=""))
    assert refusal(case, "3 beat 1: 3-3-5 IIT").endswith(
        "no finger of this hand may be laid across for it"
    )
    judged(made(full), asked(made(full), ("3 beat 1: 3-3-5 IIT",)))


def test_what_the_right_hand_strikes() -> None:
    assert refusal(made(), "3: bass x").endswith("the right hand strikes the bass string here")
    assert refusal(made(), "3: middle x").endswith("the right hand strikes the middle string here")
    judged(made(), asked(made(), ("3: melody x",)))  # may be left out of a strum
    keep = "3: keep 3-1-0 (bass+middle+melody) then *-*-* then *-*-* then *-*-*"
    assert refusal(made(), keep).endswith("the right hand strikes other strings here")


def test_what_cannot_ring_on() -> None:
    keep = "1: keep 0-x-x then {} then 0-x-x then *-*-*"
    assert refusal(made(), keep.format("4-0-2")).endswith(
        "the bass string is not struck here and cannot ring on at fret 4"
    )
    judged(made(), asked(made(), (keep.format("0-0-2 I"),)))
    held = made(Style("held"))
    keep = "1: keep 0-x-x then {} then *-*-*"
    assert refusal(held, keep.format("x-0-2")).endswith("the bass must ring on here")
    judged(held, asked(held, (keep.format("0-0-2"),)))


def test_nothing_else_is_left() -> None:
    assert "nothing else is left" in refusal(made(), forbid=("1: bass note D",))


# Pins against pins.


def test_two_pins_that_cannot_both_be_kept() -> None:
    message = refusal(made(), forbid=("1: bass 0", "1: bass 7"))
    assert message == (
        "bar 1, beat 1: 'bar 1: never bass 0' and 'bar 1: never bass 7' cannot all be kept here, "
        "though any of them can without the others"
    )
    for one in ("1: bass 0", "1: bass 7"):
        judged(made(), asked(made(), (), (one,)))


@pytest.mark.parametrize(
    ("pins", "forbid"),
    [
        (("3: 3-1-0", "3: *-3-*"), ()),
        (("3: bass M", "3: bass I"), ()),
        (("3: bass 3", "3-4 beat 1: bass 3 P"), ("all: finger P",)),
        (("3: 3-1-0",), ("3: 3-1-0",)),
        (("1: bass 0", "1 beat 1: bass note D4"), ()),
        (("1 beat 1: bass note D3", "1 beat 1: bass note D4"), ()),
        (("2 beat 3: bass role root", "2 beat 3: bass role fifth"), ()),
    ],
)
def test_pins_that_contradict_each_other_by_themselves(
    pins: tuple[str, ...], forbid: tuple[str, ...]
) -> None:
    case = made()
    with pytest.raises(ConditionError, match=r"'.*' and '.*' contradict each other; drop one"):
        judged(case, asked(case, pins, forbid))


def test_shapes_that_are_known_and_pins() -> None:
    case = made()
    known = FewShapes(known=known_shapes("1-0-0, 3-0-0, 4-0-0, 1-1-3, 3-3-5, 4-2-1, 0-0-2",
                                         case.instrument))  # fmt: skip
    pins = asked(case, ("3 beat 2: melody 0",)).pins
    judged(case, Conditions(pins=pins))
    judged(case, Conditions(shapes=known))
    with pytest.raises(
        NotPlayable, match="'bar 3, beat 2: melody 0' and the shapes that are known"
    ):
        judged(case, Conditions(pins=pins, shapes=known))


def test_a_list_of_shapes_of_which_none_serves() -> None:
    case = made()
    none = FewShapes(known=known_shapes("7-7-9", case.instrument))
    with pytest.raises(NotPlayable, match="none of the shapes that are known serves for Em here; "
                                          "one such as 1-1-3"):  # fmt: skip
        judged(case, Conditions(shapes=none))


@pytest.mark.parametrize("chord", ["Bm", "Em", "G", "A7", "E5", "Bm7", "F#m"])
@pytest.mark.parametrize("pattern", ["bass-then-strum", "full-strum"])
def test_shapes_that_would_serve_are_of_the_chord_as_they_are_written(
    chord: str, pattern: str
) -> None:
    """music21 says which tones the chord has; every string that is written sounds one of them."""
    case = made(Style(right_hand=right_hand(pattern)), chords=("D", chord, "D"))
    other = FewShapes(known=known_shapes("0-0-2", case.instrument))
    with pytest.raises(NotPlayable, match=rf"serves for {chord} here; one such as ") as refused:
        judged(case, Conditions(shapes=other))
    shapes = str(refused.value).partition("such as ")[2].removesuffix(" would").split(" or ")
    assert shapes
    tones = {pitch.pitchClass for pitch in ChordSymbol(chord.replace("E5", "Epower")).pitches}
    for text in shapes:
        frets, _ = read_shape(text, case.instrument)
        sounding = [(c, f) for c, f in enumerate(frets) if f is not None and f >= 0]
        assert len(sounding) > 1, text
        assert {case.instrument.pitch(c, f) % 12 for c, f in sounding} <= tones, text
        serves = FewShapes(known=known_shapes(f"{text}, 0-0-2", case.instrument))
        judged(case, Conditions(shapes=serves))


def test_a_bass_part_is_told_shapes_of_its_one_string() -> None:
    case = made(Style(texture="bass"))
    none = FewShapes(known=known_shapes("x-x-9", case.instrument))
    with pytest.raises(NotPlayable, match="for Em here; one such as 1-x-x"):
        judged(case, Conditions(shapes=none))


def test_frets_that_the_instrument_does_not_have() -> None:
    case = made()
    there = Pin(Bars(1, 1), OneString(0, 3, 11))
    traditional = replace(case, instrument=instrument("traditional"))
    judged(replace(case, style=Style("free")), Conditions(pins=(replace(there, forbid=True),)))
    with pytest.raises(ConditionError, match=r"no fret 6\+ under the bass string"):
        judged(traditional, Conditions(pins=(there,)))
    four = Pin(Bars(1, 1), Shape((0, 0, 0, 0)))
    with pytest.raises(ConditionError, match="speaks of 4 strings, and the instrument has 3"):
        judged(case, Conditions(pins=(four,)))


# By chance: take the rule away that is named, and either the pin holds or another rule is named.


def some_pin(dice: random.Random, case: Instance, moment: Moment) -> Pin:
    courses = len(case.instrument.courses)
    course = dice.randrange(courses)
    frets = case.instrument.frets(course)
    finger = dice.choice((None, None, dice.randrange(5)))
    fret = dice.choice(frets[1:])
    what: Pinned = dice.choice(
        (
            OneString(course, courses, fret, finger),
            Shape(
                tuple(dice.choice((None, *case.instrument.frets(c)[:7])) for c in range(courses))
            ),
            BassNote(dice.choice("ABCDEFG")),
            BassRole(dice.choice(("root", "fifth", "third", "passing", "approach"))),
        )
    )
    if what == Shape((None,) * courses):
        what = BassRole("root")
    number = case.tune.bars[moment.written].number
    return Pin(Bars(number, number), what)


WITHOUT: dict[str, dict[str, Any]] = {
    "ceiling": {"bass_ceiling": 36, "highest": 36},
    "lowest": {"bass_lowest": False},
}


def nodes_without(rule: str, case: Instance, graph: ChoiceGraph, index: int, pin: Pin) -> bool:
    """Whether the layer, built anew without the rule, has a node that keeps the pin."""
    moment = graph.moments[index]
    past = Past() if moment.change or not index else Past.of(graph.layers[index - 1])
    style, hand = case.style, case.hand
    if rule in WITHOUT:
        style = replace(style, **WITHOUT[rule])
    else:
        far = dict.fromkeys(hand.greatest, 10_000)
        hand = replace(hand, greatest=far, may_bar=FINGERS, not_used="")
    layer = build_layer(moment, past, Held(case.instrument, hand, style))
    alone = replace(graph, moments=(moment,), layers=(layer,), links=())
    (mask,) = masks(alone, case.tune, [pin])
    return mask is None or bool(mask.any())


RULES = {
    "lies above": "ceiling",
    "below the bass": "lowest",
    "cannot reach": "hand",
    "does not use": "hand",
    "laid across for it": "hand",
}


def refuse_by_chance(seed: int) -> str | None:
    """The rule named for a random pin, verified by doing without it; None for a pin that holds."""
    case = small(seed)
    dice = random.Random(f"refused {seed}")
    try:
        graph = graph_of(case)
    except NotPlayable:
        return None
    pin = some_pin(dice, case, dice.choice(graph.moments))
    try:
        masks_of(graph, case.tune, Conditions(pins=(pin,)), *case.asked[1:4])
    except NotPlayable as error:
        said = str(error)
    else:
        return None
    assert str(pin) in said
    found = masks(graph, case.tune, [pin])
    index = next(i for i, mask in enumerate(found) if mask is not None and not mask.any())
    named = [rule for words, rule in RULES.items() if words in said]
    if named and not nodes_without(named[0], case, graph, index, pin):
        # then other rules are in the way too, later ones: the hand's is the last
        style = replace(case.style, **WITHOUT[named[0]])
        with pytest.raises(NotPlayable) as again:
            masks_of(graph, case.tune, Conditions(pins=(pin,)), case.instrument, case.hand, style)
        assert not any(
            rule == named[0] for words, rule in RULES.items() if words in str(again.value)
        )
    return named[0] if named else "other"


def test_the_rule_named_is_the_one_in_the_way() -> None:
    rules = [refuse_by_chance(seed) for seed in range(150)]
    assert {"ceiling", "hand", "other", None} <= set(rules)


@pytest.mark.slow
def test_the_rule_named_is_the_one_in_the_way_in_many_cases() -> None:
    rules = [refuse_by_chance(seed) for seed in range(150, 4000)]
    assert {"ceiling", "lowest", "hand", "other", None} <= set(rules)
