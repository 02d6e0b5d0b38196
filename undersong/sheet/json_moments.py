"""Moments and their choices in JSON, both ways.

Read back, each moment is held against what the tune and the style ask for there: a document that
was changed by hand into something else is told where it no longer fits.

Public: moment_out, choice_in.
"""

import json
from typing import Any

from fretboard.frets import fret_label
from fretboard.grip import Grip
from fretboard.hand import FINGERS, NOTER, Hand
from fretboard.instrument import Instrument
from scoring.choice import Choice
from scoring.moment import ROLES, Moment
from tune.time import quarters
from tune.tune import Tune
from undersong.sheet.json_node import Node
from undersong.sheet.json_settings import fret_in
from undersong.wording import many

_SILENT: dict[str, Any] = {
    "fret": None,
    "finger": None,
    "struck": False,
    "ringing": False,
    "midi": None,
}


def moment_out(
    moment: Moment, choice: Choice, tune: Tune, instrument: Instrument, hand: Hand
) -> dict[str, Any]:
    return {
        **_place(moment, tune),
        "bass_role": choice.role,
        "hand_mm": choice.grip.place,
        "strings": [
            _string_out(course, choice, moment, instrument, hand)
            for course in range(len(instrument.courses))
        ],
    }


def _place(moment: Moment, tune: Tune) -> dict[str, Any]:
    """What the tune and the style alone decide."""
    return {
        "bar": moment.bar,
        "written_bar": tune.bars[moment.written].number,
        "offset": str(quarters(moment.offset)),
        "length": str(quarters(moment.length)),
        "chord": moment.chord.symbol if moment.chord else None,
    }


def _string_out(
    course: int, choice: Choice, moment: Moment, instrument: Instrument, hand: Hand
) -> dict[str, Any]:
    fret, finger = choice.grip.frets[course], choice.grip.fingers[course]
    if fret < 0:
        return dict(_SILENT)
    return {
        "fret": fret_label(fret),
        "finger": hand.letter(finger) if finger >= 0 else None,
        "struck": choice.struck[course],
        "ringing": not (course == 0 and moment.damped),
        "midi": instrument.pitch(course, fret),
    }


def choice_in(node: Node, moment: Moment, tune: Tune, instrument: Instrument, hand: Hand) -> Choice:
    """What is done at that moment; SheetError where it is not the moment that is asked for."""
    asked = _place(moment, tune)
    node.object(*asked, "bass_role", "hand_mm", "strings")
    for name, value in asked.items():
        if node[name].value != value or isinstance(node[name].value, bool):
            node[name].wrong(f"{json.dumps(value)}, which the tune and the style ask for")
    role = node["bass_role"].maybe(Node.text)
    if role is not None and role not in ROLES:
        node["bass_role"].wrong("null or one of " + ", ".join(ROLES))
    strings = node["strings"].items()
    if len(strings) != len(instrument.courses):
        node["strings"].fail(
            f"{many(len(strings), 'string')} here; the instrument has {len(instrument.courses)}"
        )
    grips = [_string_in(string, n, moment, instrument, hand) for n, string in enumerate(strings)]
    frets, fingers, struck = zip(*grips, strict=True)
    if struck[0] != (role is not None):
        node["bass_role"].fail("a bass string that is struck has a role, and no other has one")
    place = node["hand_mm"].whole()
    return Choice(node.made(lambda: Grip(frets, fingers, place)), struck, role)


def _string_in(
    node: Node, course: int, moment: Moment, instrument: Instrument, hand: Hand
) -> tuple[int, int, bool]:
    node.object(*_SILENT)
    if node["fret"].value is None:
        for name, value in _SILENT.items():
            if node[name].value is not value:
                node[name].fail("a string without a fret is silent: no finger, stroke or pitch")
        return -1, -1, False
    fret = fret_in(node["fret"])
    if not instrument.has(course, fret):
        node["fret"].fail(
            f"the {instrument.course_name(course)} string has no fret {node['fret'].text()} to play"
        )
    finger = node["finger"].maybe(Node.text)
    letters = NOTER if hand.noter else FINGERS
    if finger is not None and (finger not in letters or len(finger) != 1):
        node["finger"].wrong("null or one of " + ", ".join(letters))
    if (finger is None) != (fret == instrument.capo):
        node["finger"].fail("a stopped string has a finger, an open one none")
    if node["midi"].whole() != instrument.pitch(course, fret):
        node["midi"].wrong(f"{instrument.pitch(course, fret)}, the pitch of that fret")
    if node["ringing"].flag() != (not (course == 0 and moment.damped)):
        node["ringing"].fail("only a bass note that the palm damps does not ring")
    return fret, letters.index(finger) if finger else -1, node["struck"].flag()
