"""What an arrangement was made with, in JSON, both ways: instrument, hand, style, weights, level.

Frets are printed fret numbers counted from the nut; reach is tenths of a millimetre.

Public: instrument_out, instrument_in, hand_out, hand_in, style_out, style_in, weights_out,
weights_in, level_out, level_in, fret_in.
"""

from typing import Any

from fretboard.errors import FretboardError
from fretboard.frets import fret_label, fret_semitones
from fretboard.hand import FINGERS, Hand, Movement, Reach
from fretboard.instrument import Course, Instrument
from fretboard.tuning import parse_pitch, pitch_name
from scoring.weights import Weights
from solver.result import Taught
from solver.righthand import STRINGS, RightHand, Stroke
from solver.style import Style
from tune.time import Metre, quarters
from undersong.sheet.json_node import Node
from undersong.sheet.json_tune import metre_in

_MOVEMENT = ("hand_a", "hand_b", "finger_a", "finger_b", "flex_mm", "release_percent")
_SLIDE = ("slide_a", "slide_b")
"""Of a noter; left out where its slide is counted in two parts, as documents before 27 November
2026 have it."""
_HIGHEST_MIDI = 127


def fret_in(node: Node) -> int:
    """Semitones of a printed fret number."""
    text = node.text()
    return node.made(lambda: fret_semitones(text))


def instrument_out(instrument: Instrument) -> dict[str, Any]:
    return {
        "name": instrument.name,
        "scale_mm": instrument.scale_mm,
        "spacing_mm": instrument.spacing_mm,
        "strings": [
            {
                "open": pitch_name(course.open),
                "midi": course.open,
                "doubled": course.doubled,
                "frets": [fret_label(fret) for fret in course.frets],
            }
            for course in instrument.courses
        ],
    }


def instrument_in(node: Node, capo: Node) -> Instrument:
    node.object("name", "scale_mm", "spacing_mm", "strings")
    name = node["name"].text()
    scale, spacing = node["scale_mm"].number(), node["spacing_mm"].number()
    courses = tuple(_course_in(string) for string in node["strings"].items())
    bare = node.made(lambda: Instrument(name, courses, scale, spacing))
    fret = fret_in(capo)
    return capo.made(lambda: bare.with_capo(fret))


def _course_in(node: Node) -> Course:
    node.object("open", "midi", "doubled", "frets")
    midi = node["midi"].whole()
    if midi > _HIGHEST_MIDI or not _names(node["open"].text(), midi):
        node["open"].wrong(f"the name of MIDI pitch {midi}, such as {pitch_name(50)} for 50")
    frets = tuple(fret_in(fret) for fret in node["frets"].items())
    doubled = node["doubled"].flag()
    return node.made(lambda: Course(midi, frets, doubled))


def _names(text: str, midi: int) -> bool:
    """Whether that is what the pitch is called, however it is spelt."""
    try:
        return parse_pitch(text) == midi
    except FretboardError:
        return False


def hand_out(hand: Hand) -> dict[str, Any]:
    def reach(table: Reach) -> dict[str, int]:
        return {FINGERS[a] + FINGERS[b]: table[a, b] for a, b in sorted(table)}

    return {
        "name": hand.name,
        "span_mm": hand.span_mm,
        "may_bar": hand.may_bar,
        "not_used": hand.not_used,
        "noter": hand.noter,
        **({} if hand.thumb_on_bass else {"thumb_on_bass": False}),
        "movement": {
            name: getattr(hand.movement, name)
            for name in (*_MOVEMENT, *(_SLIDE if hand.slides_whole else ()))
        },
        "comfortable": reach(hand.comfortable),
        "greatest": reach(hand.greatest),
    }


def hand_in(node: Node) -> Hand:
    kept_off = isinstance(node.value, dict) and "thumb_on_bass" in node.value
    node.object(
        "name", "span_mm", "may_bar", "not_used", "noter", "movement", "comfortable", "greatest",
        *["thumb_on_bass"] * kept_off,
    )  # fmt: skip
    movement = node["movement"]
    slides = isinstance(movement.value, dict) and not set(_SLIDE).isdisjoint(movement.value)
    names = (*_MOVEMENT, *(_SLIDE if slides else ()))
    numbers = movement.object(*names)
    values = {name: numbers[name].whole() for name in names}
    parts: dict[str, Any] = {
        "name": node["name"].text(),
        "span_mm": node["span_mm"].whole(),
        "may_bar": node["may_bar"].text(),
        "not_used": node["not_used"].text(),
        "noter": node["noter"].flag(),
        "thumb_on_bass": node["thumb_on_bass"].flag() if kept_off else True,
        "movement": numbers.made(lambda: Movement(**values)),
        "comfortable": _reach_in(node["comfortable"]),
        "greatest": _reach_in(node["greatest"]),
    }
    return node.made(lambda: Hand(**parts))


def _reach_in(node: Node) -> dict[tuple[int, int], int]:
    pairs = [(a, b) for a in range(len(FINGERS)) for b in range(a + 1, len(FINGERS))]
    node.object(*(FINGERS[a] + FINGERS[b] for a, b in pairs))
    return {(a, b): node[FINGERS[a] + FINGERS[b]].whole() for a, b in pairs}


_STYLE = (
    "manner", "right_hand", "no_chord", "bass_ceiling", "highest", "bass_lowest", "texture",
    "melody_highest", "graces",
)  # fmt: skip


def style_out(style: Style) -> dict[str, Any]:
    hand = style.right_hand
    return {
        "manner": style.manner,
        "right_hand": {
            "name": hand.name,
            "meaning": hand.meaning,
            "damped": hand.damped,
            "bars": [
                {
                    "metre": str(metre),
                    "strokes": [
                        {"offset": str(quarters(stroke.tick)), "strings": stroke.strings}
                        for stroke in strokes
                    ],
                }
                for metre, strokes in hand.bars
            ],
        },
        "no_chord": style.no_chord,
        "bass_ceiling": style.bass_ceiling,
        "highest": style.highest,
        "bass_lowest": style.bass_lowest,
        "texture": style.texture,
        "melody_highest": style.melody_highest,
        "graces": style.graces,
    }


def style_in(node: Node) -> Style:
    node.object(*_STYLE)
    parts: dict[str, Any] = {
        "manner": node["manner"].text(),
        "right_hand": _right_hand_in(node["right_hand"]),
        "no_chord": node["no_chord"].text(),
        "bass_ceiling": node["bass_ceiling"].whole(),
        "highest": node["highest"].whole(),
        "bass_lowest": node["bass_lowest"].flag(),
        "texture": node["texture"].text(),
        "melody_highest": node["melody_highest"].whole(),
        "graces": node["graces"].flag(),
    }
    return node.made(lambda: Style(**parts))


def _right_hand_in(node: Node) -> RightHand:
    node.object("name", "meaning", "damped", "bars")
    return RightHand(
        node["name"].text(),
        node["meaning"].text(),
        node["damped"].flag(),
        tuple(_pattern_in(bar) for bar in node["bars"].items()),
    )


def _pattern_in(node: Node) -> tuple[Metre, tuple[Stroke, ...]]:
    node.object("metre", "strokes")
    metre = metre_in(node["metre"])
    strokes = tuple(_stroke_in(stroke) for stroke in node["strokes"].items())
    places = [stroke.tick for stroke in strokes]
    if not places or places != sorted(set(places)) or places[0] or places[-1] >= metre.bar:
        node["strokes"].fail("strokes begin at 0, ascend, and stay within the bar")
    if not strokes[0].new_bass:
        node["strokes"].fail("the first stroke must bring a bass note")
    return metre, strokes


def _stroke_in(node: Node) -> Stroke:
    node.object("offset", "strings")
    if node["strings"].text() not in STRINGS:
        node["strings"].wrong("one of " + ", ".join(STRINGS))
    return Stroke(node["offset"].ticks(), node["strings"].text())


def weights_out(weights: Weights) -> dict[str, int]:
    return dict(weights.items())


def weights_in(node: Node) -> Weights:
    values = {name: value.whole() for name, value in node.pairs()}
    return node.made(lambda: Weights.of(values))


def level_out(level: Taught) -> dict[str, Any]:
    return {"number": level.number, "teaches": level.teaches}


def level_in(node: Node) -> Taught:
    node.object("number", "teaches")
    number, teaches = node["number"].whole(1), node["teaches"].text()
    return node["teaches"].made(lambda: Taught(number, teaches))
