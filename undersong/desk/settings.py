"""What a work asks for, as the values that the rooms work with.

Nothing here opens a file by a name that came from the page: bundled tunes are looked up in a list,
and names of instruments, hands and right hands must be presets.

Public: Begun, begun, tune_of, session_of, read_source, LIMITS.
"""

from dataclasses import dataclass, replace

from fretboard import presets
from fretboard.errors import FretboardError
from fretboard.hand import FINGERS, Hand
from fretboard.instrument import Instrument
from scoring.weights import Weights
from solver.conditions import Conditions
from solver.conditions.bars import WHOLE, Bars
from solver.conditions.quota import Quota
from solver.style import Style
from tune.octaves import by_octaves
from tune.tune import Tune
from undersong.desk.refused import Refusal, refusing
from undersong.desk.work import CHART, Settings, Source, Work
from undersong.levels.level import Level, levels_for
from undersong.session import Session
from undersong.settings import above_capo, strung_as, style_from

_SPAN_IS = "0123456789"

LIMITS = ("bass_ceiling", "highest", "melody_highest")
"""Settings that name frets, which the page counts from the nut."""


@dataclass(frozen=True)
class Begun:
    """Everything that decides the answer. Values, so that two works which ask the same are equal:
    what was solved for one serves the other."""

    tune: Tune
    instrument: Instrument
    hand: Hand
    style: Style
    weights: Weights
    conditions: Conditions


def begun(work: Work) -> Begun:
    """Raises Refusal, one sentence that names the setting."""
    settings = work.settings
    instrument, hand = _instrument(settings), _hand(settings)
    tune = tune_of(work)
    style = _style(settings, tune, instrument)
    with refusing("weights"):
        weights = Weights.of(dict(work.weights))
    conditions = _conditions(work, instrument)
    level = _level(settings)
    if level is not None:
        with refusing("level"):
            style = level.style(style, instrument)
            conditions = _within(level, conditions, instrument)
    return Begun(tune, instrument, hand, style, weights, conditions)


def session_of(asked: Begun) -> Session:
    """A session that answers it."""
    return Session(asked.tune, instrument=asked.instrument, hand=asked.hand, style=asked.style)


def tune_of(work: Work) -> Tune:
    """The tune with the chords, in the key and octave and at the tempo asked for."""
    settings = work.settings
    with refusing("tune"):
        tune = read_source(work.tune, work.choose)
    with refusing("chords"):
        tune = _with_chords(tune, settings.chords)
    with refusing("transpose"):
        tune = tune.transposed(settings.transpose)
    with refusing("octave"):
        for bars, octaves in settings.octave:
            tune = by_octaves(tune, Bars.parse(bars).of(tune), octaves)
    if settings.tempo is None:
        return tune
    with refusing("tempo"):
        return tune.at_tempo(settings.tempo)


def read_source(source: Source, choose: str | None) -> Tune:
    """The tune as it came. Raises Refusal, TuneError or SheetError."""
    import corpus
    from tune.readers import read_data
    from undersong.sheet.json_node import parse
    from undersong.sheet.json_tune import tune_in

    if source.bundled:
        if source.bundled not in corpus.names():
            raise Refusal(
                f"no bundled tune is called {source.bundled!r}; choose one of the list", "tune"
            )
        return read_data(corpus.path(source.bundled).read_bytes(), source.bundled, choose)
    if source.written:
        return tune_in(parse(source.written, "the answer's tune"))
    if source.name:  # a file, be it an empty one
        return read_data(source.data, source.name, choose)
    if not source.chart.strip():
        raise Refusal("the chart is empty; write chords, such as | D | G | A | D |", "tune")
    return read_data(source.chart.encode(), "", choose, "chart")


def _with_chords(tune: Tune, chords: str) -> Tune:
    from tune.readers import read_data
    from undersong.chart_pickup import refuse_other_pickup
    from undersong.chords import MAKERS, lay_chords

    if chords.startswith(CHART):
        text = chords.removeprefix(CHART)
        chart = read_data(text.encode(), "", None, "chart")
        refuse_other_pickup(tune, chart)
        return lay_chords(tune, chart)
    return MAKERS[chords](tune) if chords in MAKERS else tune


def _instrument(settings: Settings) -> Instrument:
    with refusing("instrument"):
        _preset(settings.instrument, [info.name for info in presets.instruments()])
    return strung_as(
        refusing,
        instrument=settings.instrument,
        scale=settings.scale,
        tuning=settings.tuning,
        capo=settings.capo,
    )


def _hand(settings: Settings) -> Hand:
    with refusing("hand"):
        span = settings.hand.strip()
        if span[:1] not in _SPAN_IS or "/" in span or "\\" in span or span.endswith(".toml"):
            _preset(settings.hand, [info.name for info in presets.hands()])
        hand = presets.hand(settings.hand)
    if set(settings.without_fingers) >= set(FINGERS):
        raise Refusal("some finger must stop strings; leave one of the five unticked",
                      "without_fingers")  # fmt: skip
    with refusing("without_fingers"):
        for finger in settings.without_fingers:
            hand = hand.without(finger)
    return hand


def _preset(name: str, names: list[str]) -> None:
    if name not in names:
        raise FretboardError(f"there is no {name!r} here; choose one of {', '.join(names)}")


def _style(settings: Settings, tune: Tune, instrument: Instrument) -> Style:
    from solver.righthand import right_hands

    with refusing("right_hand"):
        _preset(settings.right_hand, [one.name for one in right_hands()])
    limits = {name: _limit(settings, name, instrument) for name in LIMITS}
    with refusing("texture"):
        return style_from(
            refusing,
            tune,
            instrument,
            texture=settings.texture,
            manner=settings.manner,
            right_hand=settings.right_hand,
            no_chord=settings.no_chord,
            bass_above=settings.bass_above,
            graces=settings.graces,
            limits=limits,
        )


def _limit(settings: Settings, name: str, instrument: Instrument) -> int | None:
    """A highest fret, which the page counts from the nut, in semitones above the capo."""
    label = getattr(settings, name)
    with refusing(name):
        return None if label is None else above_capo(label, instrument)


def _conditions(work: Work, instrument: Instrument) -> Conditions:
    from fretboard.reading import Table
    from undersong.conditions_file import KEYS, wishes_of

    asked = {
        "alike": work.settings.alike,
        "shapes": work.settings.shapes,
        "at-most": list(work.at_most),
        "at-least": list(work.at_least),
        "pin": list(work.pins),
        "forbid": list(work.forbids),
    }
    given = {key: value for key, value in asked.items() if value not in (None, [])}
    fields = {"at-most": "at_most", "at-least": "at_least", "pin": "pins", "forbid": "forbids"}
    parts = [{key: value} for key, value in given.items()]
    for part in parts:  # one by one, so that a complaint is about one of them
        with refusing(next(fields.get(key, key) for key in part)):
            wishes_of(Table("", part, KEYS), instrument, _called)
    with refusing("pins"):
        return wishes_of(Table("", given, KEYS), instrument, _called).conditions()


def _called(key: str) -> str:
    return key.replace("-", " ")


def _level(settings: Settings) -> Level | None:
    if settings.level is None:
        return None
    levels = levels_for(settings.texture)
    if not 1 <= settings.level <= len(levels):
        raise Refusal(f"there are levels 1 to {len(levels)}, not {settings.level}", "level")
    return levels[settings.level - 1]


def _within(level: Level, conditions: Conditions, instrument: Instrument) -> Conditions:
    """The conditions with the level's caps."""
    conditions = level.conditions(conditions)
    quotas = conditions.quotas
    if level.shifts is not None:
        quotas = (*quotas, Quota("shifts", most=level.shifts, bars=WHOLE, each=True))
    return replace(conditions, limits=level.limits(instrument), quotas=quotas)
