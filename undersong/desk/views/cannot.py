"""Why it cannot be played so, and what would mend it: each mend as a change of the work.

Public: cannot_view, patch_of.
"""

import shlex
from typing import Any

from fretboard.tuning import pitch_name
from solver.clash import Clash
from solver.conditions.bars import WHOLE
from solver.conditions.pins import Pin
from solver.conditions.quota import Quota
from tune.errors import TuneError
from tune.readers.chart import write_chart
from undersong.desk.work import Work
from undersong.mends.mend import Kind, Mend, Mends

SHOWN = 8

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


def cannot_view(
    sentence: str, clash: Clash | None, mends: Mends | None, work: Work
) -> dict[str, Any]:
    """The mends cheapest first, those that ask more of the hand last."""
    told = "" if clash is None else str(clash)
    return {
        "sentence": sentence,
        "clash": told if told and told != sentence else None,
        "mends": [] if mends is None else [_mend(mend, work) for mend in mends.best(SHOWN)],
        "untried": 0 if mends is None else mends.untried,
    }


def _mend(mend: Mend, work: Work) -> dict[str, Any]:
    return {
        "words": mend.words,
        "loses": mend.loses or "nothing lost",
        "cost": mend.cost,
        "proven": mend.proven,
        "more_of_the_hand": mend.kind.asks_more_of_the_hand,
        "patch": patch_of(mend, work),
    }


def patch_of(mend: Mend, work: Work) -> dict[str, Any] | None:
    """What becomes of the work's parts: ``settings`` holds those that change, all else is
    replaced whole. None where no part of the work says it."""
    if mend.kind in (Kind.CHORD, Kind.CHORDS):
        return _chart(mend, work)
    if mend.kind in (Kind.PIN, Kind.LIMIT, Kind.NO_LIMIT):
        return _wishes(mend, work)
    words = shlex.split(mend.option)
    if words[:2] == ["leave", "out"]:
        name = words[2].removeprefix("--").replace("-", "_")
        return {"settings": {name: None}} if name in ("alike", "shapes") else None
    return _options(mend, words, work)


def _options(mend: Mend, words: list[str], work: Work) -> dict[str, Any] | None:
    """What is typed, as settings."""
    settings: dict[str, Any] = {}
    octaves = [list(move) for move in work.settings.octave]
    while words:
        name = words.pop(0)
        if name == "--bass-above":
            settings["bass_above"] = True
        elif not words:
            return None
        elif name in _OPTIONS:
            settings[_OPTIONS[name]] = words.pop(0)
        elif name == "--transpose":
            settings["transpose"] = int(words.pop(0))
        elif name == "--octave":
            bars, _, by = words.pop(0).rpartition("=")
            octaves.append([bars, int(by)])
            settings["octave"] = octaves
        elif name == "--shapes":
            settings["shapes"] = int(words.pop(0))
        elif name == "--pin":
            return {"pins": [*work.pins, words.pop(0)]}
        else:
            return None
    if not settings:
        return _hand(mend, work)
    if "instrument" in settings and work.settings.tuning is None:
        settings["tuning"] = _tuning(mend)
    return {"settings": settings}


def _hand(mend: Mend, work: Work) -> dict[str, Any] | None:
    """A finger that was to rest, used again."""
    if mend.kind is not Kind.FINGER:
        return None
    rests = mend.request.hand.not_used
    left = [letter for letter in work.settings.without_fingers if letter in rests]
    if len(left) == len(work.settings.without_fingers):
        return None
    return {"settings": {"without_fingers": left}}


def _tuning(mend: Mend) -> str:
    return " ".join(pitch_name(course.open) for course in mend.request.instrument.courses)


def _chart(mend: Mend, work: Work) -> dict[str, Any] | None:
    """Other chords, as a chart laid over the tune; it stands in the tune's own key."""
    tune = mend.request.tune.transposed(-work.settings.transpose)
    try:
        return {"settings": {"chords": {"chart": write_chart(tune)}}}
    except TuneError:
        return None


def _wishes(mend: Mend, work: Work) -> dict[str, Any] | None:
    """Pins and limits that are left of those in the work."""
    asked = mend.request.conditions
    instrument = mend.request.instrument
    if mend.kind is Kind.PIN:
        left = set(asked.pins)
        out: dict[str, Any] = {}
        for part, texts, forbid in (("pins", work.pins, False), ("forbids", work.forbids, True)):
            kept = [
                pin.text
                for text in texts
                for pin in Pin.parse(text, forbid, instrument)
                if pin in left
            ]
            if len(kept) != sum(len(Pin.parse(text, forbid, instrument)) for text in texts):
                out[part] = kept
        return out or None
    told = [(quota, _typed(quota)) for quota in asked.quotas]
    return {
        "at_most": [text for quota, text in told if quota.most is not None],
        "at_least": [text for quota, text in told if quota.least is not None],
    }


def _typed(quota: Quota) -> str:
    """A limit as it is typed after its option."""
    number = quota.least if quota.most is None else quota.most
    above = "" if quota.above is None else f" above {quota.above}"
    each = " a bar" if quota.each else ""
    where = "" if quota.bars == WHOLE else f", {quota.bars}"
    return f"{number} {quota.what}{each}{above}{where}"
