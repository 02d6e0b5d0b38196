"""Why pins leave a moment nothing to play, in one sentence: which pin, and which rule or other pin
contradicts it.

The pins of the moment are dropped one by one as long as nothing is left without them; those that
remain clash. One alone clashes with a rule of playing, which ``solver.pin_reasons`` finds.

Public: refuse_pins.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np

from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.choice import Bools
from solver.conditions import Conditions
from solver.conditions.few_shapes import LearnedShape, learned
from solver.conditions.pinned import BassNote, BassRole, FingerDown, OneString, Shape
from solver.conditions.pins import Pin
from solver.conditions.wording import SILENT, shown_shape
from solver.errors import ConditionError, NotPlayable
from solver.graph import ChoiceGraph
from solver.layers import Layer, Past
from solver.pin_masks import Demand, holds, knows, named_finger
from solver.pin_reasons import Stage, reason
from solver.pin_reasons_melody import tuneful_reason
from solver.pinning import Demands, Masks, beats_of, only_known
from solver.refusal import bar_named
from solver.singing import TUNEFUL
from solver.style import Style
from tune.tune import Tune

_SHOWN = 3


def refuse_pins(
    graph: ChoiceGraph,
    tune: Tune,
    conditions: Conditions,
    demands: Demands,
    found: Masks,
    instrument: Instrument,
    hand: Hand,
    style: Style,
) -> None:
    """Nothing where every mask leaves a node and no two pins contradict each other by themselves.
    demands: what the pins ask; found: what that leaves.

    Raises ConditionError for two that do, wherever they stand together, NotPlayable for any other
    clash, at the first moment that has one.
    """
    for place, pair in _contradictions(demands, instrument):
        both = " and ".join(f"'{pin.shown(instrument.told)}'" for pin in pair)
        raise ConditionError(
            f"{_where(graph, place, tune)}: {both} contradict each other; drop one of them"
        )
    empty = next((i for i, mask in enumerate(found) if mask is not None and not mask.any()), None)
    if empty is None:
        return
    moment, layer = graph.moments[empty], graph.layers[empty]
    clash, known = _clash(layer, demands[empty], only_known(conditions))
    names = [f"'{pin.shown(instrument.told)}'" for pin, _ in clash] + [
        "the shapes that are known"
    ] * known
    start = moment.begins_anew or empty == 0
    past = Past() if start else Past.of(graph.layers[empty - 1])
    stage = Stage(moment, past, instrument, hand, style)
    if len(names) > 1:
        listed = f"{', '.join(names[:-1])} and {names[-1]}"
        message = f"{listed} cannot all be kept here, though any of them can without the others"
    elif known:
        message = _no_known_shape(stage, layer, only_known(conditions))
    else:
        key = tune.bars[moment.written].key
        tuneful = moment.texture in TUNEFUL
        demand = clash[0][1]
        why = tuneful_reason(demand, stage, key) if tuneful else reason(demand, stage)
        message = f"{names[0]} cannot be kept: {why}"
    raise NotPlayable(
        f"{_where(graph, empty, tune)}: {message}", moment.bar, str(moment.chord or "")
    )


def _where(graph: ChoiceGraph, place: int, tune: Tune) -> str:
    """The bar and the beat of a moment."""
    beat = beats_of(tune, graph.moments)[place]
    return f"{bar_named(graph.moments[place], tune)}, beat {beat}"


def _contradictions(
    demands: Sequence[Sequence[tuple[Pin, Demand]]], instrument: Instrument
) -> Iterator[tuple[int, tuple[Pin, Pin]]]:
    """The moment, and two pins that contradict each other by themselves."""
    seen: set[tuple[Demand, Demand]] = set()
    known: set[tuple[int, ...]] = set()
    for index, here in enumerate(demands):
        own = tuple(map(id, here))
        if own in known:
            continue
        known.add(own)
        for (pin, demand), (other_pin, other) in combinations(here, 2):
            if (demand, other) not in seen and _at_odds(demand, other, instrument):
                yield index, (pin, other_pin)
            seen.add((demand, other))


def _clash(
    layer: Layer,
    demands: Sequence[tuple[Pin, Demand]],
    known: tuple[LearnedShape, ...] | None,
) -> tuple[list[tuple[Pin, Demand]], bool]:
    """Pins, and whether the known shapes, that leave no node; without any one of them some is."""
    parts: list[tuple[tuple[Pin, Demand] | None, Bools]] = [
        (demand, holds(layer, demand[1])) for demand in demands
    ]
    if known is not None:
        parts.append((None, knows(layer.shapes, known)[layer.shape]))
    kept = list(parts)
    for part in parts:
        without = [other for other in kept if other is not part]
        if without and not np.logical_and.reduce([mask for _, mask in without]).any():
            kept = without
    pins = [part for part, _ in kept if part is not None]
    return pins, len(pins) < len(kept)


def _at_odds(one: Demand, other: Demand, instrument: Instrument) -> bool:
    """Whether no way of playing this moment, on whatever tune, could hold both."""
    if one.forbid or other.forbid:
        return one.forbid != other.forbid and (
            one.asked == other.asked or _forbidden(one, other) or _forbidden(other, one)
        )
    a, b = one.asked, other.asked
    if isinstance(a, BassRole) and isinstance(b, BassRole):
        return a.role != b.role
    if isinstance(a, Shape | OneString) and isinstance(b, Shape | OneString):
        courses = range(min(len(a.frets), len(b.frets)))
        return any(
            _differ(a.frets[c], b.frets[c]) or _differ(named_finger(a, c), named_finger(b, c))
            for c in courses
        )
    if isinstance(b, BassNote) and not isinstance(a, BassNote):
        a, b = b, a
    if not isinstance(a, BassNote):
        return False
    if isinstance(b, BassNote):
        return a.pitch_class != b.pitch_class or _differ(a.pitch, b.pitch)
    fret = b.frets[0] if isinstance(b, Shape | OneString) else None
    if fret is None or fret < 0:
        return False
    sounds = instrument.pitch(0, fret)
    return sounds % 12 != a.pitch_class or _differ(a.pitch, sounds)


def _differ(one: int | None, other: int | None) -> bool:
    return None not in (one, other) and one != other


def _forbidden(one: Demand, other: Demand) -> bool:
    """Whether ``one`` fixes a finger that ``other`` forbids anywhere."""
    a, b = one.asked, other.asked
    return (
        not one.forbid
        and isinstance(b, FingerDown)
        and isinstance(a, Shape | OneString)
        and any(named_finger(a, course) == b.finger for course in range(len(a.frets)))
    )


def _no_known_shape(stage: Stage, layer: Layer, known: tuple[LearnedShape, ...] | None) -> str:
    """That no shape of the list fits, and some that would, as they can be strummed; their fingers
    only where the frets are known and the fingers are not."""
    frets_known = {shape.frets for shape in known or ()}
    rows = (layer.shapes.row(shape)[0] for shape in range(len(layer.shapes)))
    would = {grip.frets + grip.fingers: grip for grip in rows if grip.down}
    easy = sorted(
        ((_strummed(grip, stage), grip) for grip in would.values()),
        key=lambda pair: _hardly(pair[0], pair[1], stage),
    )
    shown = dict.fromkeys(
        shown_shape(
            frets,
            grip.fingers if _stops(grip) in frets_known else None,
            stage.instrument.told,
        )
        for frets, grip in easy
    )
    there = f" for {stage.moment.chord}" if stage.moment.chord else ""
    return (
        f"none of the shapes that are known serves{there} here; "
        f"one such as {' or '.join(list(shown)[:_SHOWN])} would"
    )


def _stops(grip: Grip) -> tuple[int | None, ...]:
    shape = learned(grip)
    return () if shape is None else shape.frets


def _strummed(grip: Grip, stage: Stage) -> tuple[int, ...]:
    """The frets of a grip as a shape is written: an open string that is no tone of the chord, or
    lies below the bass where nothing may, is left silent; one that no finger stops is 0."""
    moment, instrument = stage.moment, stage.instrument
    tones = moment.chord.pitch_classes if moment.chord else frozenset(range(12))
    bass = instrument.pitch(0, grip.frets[0]) if grip.frets[0] >= 0 else -1
    frets = []
    for course, (fret, finger) in enumerate(zip(grip.frets, grip.fingers, strict=True)):
        opened = instrument.pitch(course, instrument.capo)
        low = stage.style.bass_lowest and opened < bass
        sounds = moment.plays[course] and opened % 12 in tones and not low
        if moment.texture in TUNEFUL:
            sounds = fret >= 0
        frets.append(fret if finger >= 0 else 0 if sounds else SILENT)
    return tuple(frets)


def _hardly(frets: tuple[int, ...], grip: Grip, stage: Stage) -> tuple[int, bool, int, int]:
    """What is shown last: few strings that sound, no third, many fingers, high frets."""
    chord, instrument = stage.moment.chord, stage.instrument
    third = None if chord is None else chord.degrees.get("third")
    sounds = {
        instrument.pitch(course, fret or instrument.capo) % 12
        for course, fret in enumerate(frets)
        if fret >= 0
    }
    silent = 0 if stage.moment.texture in TUNEFUL else frets.count(SILENT)
    return silent, third not in (None, *sounds), len(grip.down), max(grip.frets)
