"""The work behind an answer that another command wrote, so that its player goes on from it here.

An answer holds its tune and all that was asked, but as values, not as the page's settings. So
settings are named that should ask the same, and are taken only if they do: where the page has none
for what was asked, the answer is refused with a sentence and nothing is lost.

Public: work_of.
"""

from collections.abc import Iterator
from dataclasses import replace

from fretboard import presets
from fretboard.frets import fret_label
from fretboard.hand import FINGERS, Hand
from fretboard.instrument import Instrument
from fretboard.tuning import pitch_name
from scoring.weights import Weights
from solver.bass_part import usual_bass_ceiling
from solver.conditions import NONE
from solver.conditions.bars import WHOLE
from solver.conditions.quota import Quota
from solver.result import Arrangement
from solver.style import Style, usual_manner
from tune.errors import TuneError
from tune.tune import Tune
from undersong.desk.alike import differing
from undersong.desk.refused import Refusal
from undersong.desk.settings import LIMITS, begun, read_source
from undersong.desk.work import Settings, Source, Work
from undersong.file_names import plain_name
from undersong.levels.level import Level, levels_for
from undersong.sheet.json_layout import laid_out
from undersong.sheet.json_tune import tune_out

_ASKED = {
    "tune": "its tune",
    "instrument": "its instrument",
    "hand": "its hand",
    "style": "its right hand or frets",
    "conditions": "all that was asked of its bars",
}
"""Where an answer differs from what the page can ask → what the page cannot set."""


def work_of(made: Arrangement) -> Work:
    """A work that asks for what the answer was asked for. Raises Refusal, one sentence, where the
    page has no settings for that."""
    work = Work(
        _source(made.tune),
        settings=_settings(made),
        weights=_weights(made.weights),
        pins=tuple(pin.text for pin in made.conditions.pins if not pin.forbid),
        forbids=tuple(pin.text for pin in made.conditions.pins if pin.forbid),
        at_most=_limits(made.conditions.quotas, most=True),
        at_least=_limits(made.conditions.quotas, most=False),
    )
    nearest: tuple[str, ...] = ()
    for one in (work, *_at_levels(made, work)):
        try:
            missing = differing(begun(one), made)
        except ValueError:
            continue  # settings that the desk would refuse ask for nothing
        if not missing:
            return one
        nearest = min(nearest or missing, missing, key=len)
    parts = " and ".join(_ASKED[name] for name in nearest) or "what it was asked for"
    raise Refusal(
        f"the page has no settings for {parts}, so this answer cannot be taken up; open it under "
        "Side by side, or arrange its tune here"
    )


def _source(tune: Tune) -> Source:
    """The bundled tune where it is just that one, else the tune as the answer writes it."""
    bundled = Source(bundled=plain_name(tune.title, 60))
    try:
        if read_source(bundled, None) == tune:
            return bundled
    except (Refusal, TuneError):
        pass  # no bundled tune is called so
    return Source(written=laid_out(tune_out(tune)))


def _settings(made: Arrangement) -> Settings:
    conditions, style = made.conditions, made.style
    usual = Style()
    if style.texture == "bass":
        usual = replace(usual, bass_ceiling=usual_bass_ceiling(made.tune, made.instrument))
    frets = {
        name: fret_label(getattr(style, name) + made.instrument.capo)
        for name in LIMITS
        if getattr(style, name) != getattr(usual, name)
    }
    return replace(
        _held(made.hand, _strung(made.instrument)),
        texture=style.texture,
        manner=None if style.manner == usual_manner(style.texture) else style.manner,
        right_hand=style.right_hand.name,
        no_chord=style.no_chord,
        bass_above=not style.bass_lowest,
        graces=style.graces,
        alike=None if conditions.alike is None else conditions.alike.what,
        shapes=None if conditions.shapes is None else conditions.shapes.most,
        bass_ceiling=frets.get("bass_ceiling"),
        highest=frets.get("highest"),
        melody_highest=frets.get("melody_highest"),
    )


def _strung(made: Instrument) -> Settings:
    """The preset, its strings and its capo; that of the same name first."""
    capo = made.label(made.capo)
    for info in sorted(presets.instruments(), key=lambda one: one.name != made.name):
        one = info.instrument
        tuning = None
        if one.tuning != made.tuning:
            tuning = " ".join(pitch_name(pitch) for pitch in made.tuning)
        scale = None if one.scale_mm == made.scale_mm else f"{made.scale_mm}mm"
        try:
            again = presets.instrument(info.name, tuning=tuning, capo=capo, scale=scale)
        except ValueError:
            continue  # it has other strings, or no such fret
        if replace(again, name="") == replace(made, name=""):
            return Settings(instrument=info.name, tuning=tuning, capo=capo, scale=scale)
    return Settings()


def _held(made: Hand, settings: Settings) -> Settings:
    """With the preset or the measured span, and the fingers that rest."""
    names = sorted((info.name for info in presets.hands()), key=lambda name: name != made.name)
    for name in (*names, f"{made.span_mm}mm"):
        hand = presets.hand(name)
        resting = tuple(
            letter for letter in FINGERS if letter in made.not_used and letter not in hand.not_used
        )
        again = hand.without("".join(resting)) if resting and not hand.noter else hand
        if replace(again, name="") == replace(made, name=""):
            return replace(settings, hand=name, without_fingers=resting)
    return settings


def _weights(weights: Weights) -> tuple[tuple[str, int], ...]:
    usual = dict(Weights().items())
    return tuple((name, price) for name, price in weights.items() if price != usual[name])


def _limits(quotas: tuple[Quota, ...], *, most: bool) -> tuple[str, ...]:
    return tuple(text for quota in quotas for is_most, text in quota.typed if is_most is most)


def _at_levels(made: Arrangement, work: Work) -> Iterator[Work]:
    """The same at each level, without the pins and limits that come with it."""
    if made.conditions.limits is None:
        return
    for level in levels_for(made.style.texture):
        forbids, at_most = _of_level(level)
        yield replace(
            work,
            settings=replace(work.settings, level=level.number),
            forbids=tuple(text for text in work.forbids if text not in forbids),
            at_most=tuple(text for text in work.at_most if text not in at_most),
        )


def _of_level(level: Level) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What is ruled out, and what is limited, by the level itself."""
    forbids = tuple(pin.text for pin in level.conditions(NONE).pins)
    if level.shifts is None:
        return forbids, ()
    shifts = Quota("shifts", most=level.shifts, bars=WHOLE, each=True)
    return forbids, _limits((shifts,), most=True)
