"""A mend as a change of the work, which one click on the page puts to use.

A mend's price was found for one request. A change of the work is given only where the changed work
asks for just that request, so that the price on the button is what the click will cost.

Public: patch_of, patched.
"""

import json
import shlex
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from fretboard import presets
from fretboard.frets import fret_label
from solver.conditions.pinned import BassManner
from solver.conditions.pins import Pin
from solver.demands import Wanted
from tune.errors import TuneError
from tune.readers.chart import write_chart
from undersong.desk.alike import differing
from undersong.desk.settings import LIMITS, Begun, begun
from undersong.desk.work import Work, work_in, work_out
from undersong.mends.mend import Kind, Mend
from undersong.sheet.json_node import parse

Patch = dict[str, Any]

_OPTIONS = {
    "--bass-ceiling": "bass_ceiling",
    "--highest": "highest",
    "--bass": "manner",
    "--right-hand": "right_hand",
    "--hand": "hand",
    "--instrument": "instrument",
    "--tuning": "tuning",
    "--capo": "capo",
}
"""What is typed for a mend → the setting that takes the same text."""

_HANDS = (Kind.BAR, Kind.FINGER, Kind.REACH)


def patch_of(mend: Mend, work: Work) -> Patch | None:
    """What becomes of the work's parts: ``settings`` holds those that change, all else is
    replaced whole. None where no change of the work asks for what the mend was priced for."""
    for patch in _candidates(mend, work):
        try:
            asked = begun(patched(work, patch))
            limits = _limits(asked, mend.request)
            if limits:
                patch["settings"] = {**patch.get("settings", {}), **limits}
                asked = begun(patched(work, patch))
        except ValueError:
            continue  # a work that the desk would refuse mends nothing
        if not differing(asked, mend.request):
            return patch
    return None


def patched(work: Work, patch: Patch) -> Work:
    """The work with the patch put to use, as the page does it."""
    document = work_out(work)
    parts = {name: value for name, value in patch.items() if name != "settings"}
    document = {**document, **parts}
    document["settings"] = {**document["settings"], **patch.get("settings", {})}
    return work_in(parse(json.dumps(document)))


def _candidates(mend: Mend, work: Work) -> Iterator[Patch]:
    """What may be meant; the nearest first."""
    if mend.kind in (Kind.CHORD, Kind.CHORDS):
        yield from _chart(mend, work)
    elif mend.kind is Kind.PIN:
        yield _pins_left(mend, work)
    elif mend.kind in (Kind.LIMIT, Kind.NO_LIMIT):
        yield _quotas_left(mend, work)
    elif mend.kind is Kind.MANNER_THERE:
        yield {"pins": [*_without_manners(mend, work), shlex.split(mend.option)[1]]}
    else:
        typed = _typed_settings(shlex.split(mend.option), work)
        if typed:
            yield {"settings": typed}
        if mend.kind in _HANDS:
            yield from _hands(mend, work)
        if mend.kind is Kind.FRET:
            yield from ({"settings": {"instrument": info.name}} for info in presets.instruments())


def _typed_settings(words: list[str], work: Work) -> dict[str, Any]:
    """What is typed, as settings; nothing where no setting says it."""
    if words[:2] == ["leave", "out"]:
        name = words[2].removeprefix("--")
        return {name: None} if name in ("alike", "shapes") else {}
    settings: dict[str, Any] = {}
    octaves = [list(move) for move in work.settings.octave]
    while words:
        name = words.pop(0)
        if name == "--bass-above":
            settings["bass_above"] = True
        elif name in _OPTIONS:
            settings[_OPTIONS[name]] = words.pop(0)
        elif name in ("--transpose", "--shapes"):
            settings[name.removeprefix("--")] = int(words.pop(0))
        elif name == "--octave":
            bars, _, by = words.pop(0).rpartition("=")
            octaves.append([bars, int(by)])
            settings["octave"] = octaves
        else:
            return {}
    return settings


def _hands(mend: Mend, work: Work) -> Iterator[Patch]:
    """Fingers that rest now and need not, and hands that are presets."""
    resting = work.settings.without_fingers
    if mend.kind is Kind.FINGER:
        for letter in resting:
            yield {"settings": {"without_fingers": [each for each in resting if each != letter]}}
    yield from ({"settings": {"hand": info.name}} for info in presets.hands())


def _chart(mend: Mend, work: Work) -> Iterator[Patch]:
    """Other chords, as a chart laid over the tune; it stands in the tune's own key."""
    try:
        tune = mend.request.tune.transposed(-work.settings.transpose)
        yield {"settings": {"chords": {"chart": write_chart(tune)}}}
    except TuneError:
        return  # no chart can say these chords


def _pins_left(mend: Mend, work: Work) -> Patch:
    """The texts of the pins that are left; a text that is left whole stays as she wrote it."""
    left, instrument = set(mend.request.conditions.pins), mend.request.instrument
    patch: Patch = {}
    for part, texts, forbid in (("pins", work.pins, False), ("forbids", work.forbids, True)):
        kept: list[str] = []
        for text in texts:
            pins = Pin.parse(text, forbid, instrument)
            some = [pin for pin in pins if pin in left]
            kept += [text] if len(some) == len(pins) else [pin.text for pin in some]
        if kept != list(texts):
            patch[part] = kept
    return patch


def _without_manners(mend: Mend, work: Work) -> list[str]:
    """The texts of pins without those of bass manners."""
    kept: list[str] = []
    for text in work.pins:
        pins = Pin.parse(text, False, mend.request.instrument)
        some = [pin for pin in pins if not isinstance(pin.pinned, BassManner)]
        kept += [text] if len(some) == len(pins) else [pin.text for pin in some]
    return kept


def _quotas_left(mend: Mend, work: Work) -> Patch:
    """The limits that are left, without those that come with the level."""
    own = begun(replace(work, settings=replace(work.settings, level=None))).conditions.quotas
    levels = [quota for quota in begun(work).conditions.quotas if quota not in own]
    told = [
        limit
        for quota in mend.request.conditions.quotas
        if quota not in levels
        for limit in quota.typed
    ]
    return {
        "at_most": [text for most, text in told if most],
        "at_least": [text for most, text in told if not most],
    }


def _limits(asked: Begun, request: Wanted) -> dict[str, str]:
    """Highest frets that the change would move, such as those counted from another capo, named
    anew so that they stay where they are."""
    capo = asked.instrument.capo
    return {
        name: fret_label(getattr(request.style, name) + capo)
        for name in LIMITS
        if getattr(asked.style, name) != getattr(request.style, name)
    }
