"""What the player asked ``undersong arrange`` for, and the values that it makes.

Every complaint begins with the option's name.

Public: Asked, tune_of, changed, refuse_lacking_all, instrument_of, hand_of, style_of, weights_of,
HandAsked, WeightsAsked, option_named.
"""

from __future__ import annotations

from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from undersong.cli.endings import Refused, naming

if TYPE_CHECKING:
    from collections.abc import Collection

    from fretboard.hand import Hand
    from fretboard.instrument import Instrument
    from scoring.weights import Weights
    from solver.style import Style
    from tune.tune import Tune


@dataclass(frozen=True)
class Asked:
    """The options by their names; None where the player said nothing.

    bass_ceiling, highest, melody_highest: printed fret numbers from the nut, or from the capo with
    ``from_capo``; octave: bars as typed, and by how many octaves their melody is moved.
    """

    tune: str
    choose: str | None
    form: str | None
    tempo: int | None
    transpose: int
    instrument: str
    tuning: str | None
    capo: str
    scale: str | None
    hand: str
    texture: str
    chords: str
    octave: tuple[tuple[str, int], ...]
    graces: bool
    bass: str | None
    right_hand: str
    no_chord: str
    bass_ceiling: str | None
    highest: str | None
    melody_highest: str | None
    bass_above: bool
    weights: str | None
    weight: tuple[tuple[str, int], ...]
    to: tuple[str, ...]
    melody_on_top: bool
    from_capo: bool
    width: int
    unicode: bool
    time_limit: float
    without_finger: tuple[str, ...] = ()
    shapes_used: bool = False
    left_handed: bool = False


class HandAsked(Protocol):
    """What ``hand_of`` wants to know."""

    @property
    def hand(self) -> str: ...

    @property
    def without_finger(self) -> tuple[str, ...]: ...


class WeightsAsked(Protocol):
    """What ``weights_of`` wants to know."""

    @property
    def weights(self) -> str | None: ...

    @property
    def weight(self) -> tuple[tuple[str, int], ...]: ...


def tune_of(asked: Asked) -> Tune:
    """The tune with the chords, in the key and octave and at the tempo asked for."""
    from tune.readers import FORMS
    from undersong.api import read_tune

    if asked.form is not None and asked.form not in FORMS:
        raise Refused(f"--form: there is no form {asked.form!r}; choose one of {', '.join(FORMS)}")
    return changed(read_tune(asked.tune, asked.choose, asked.form), asked)


def changed(tune: Tune, asked: Asked) -> Tune:
    """The tune, already read, with the chords, in the key and octave and at the tempo asked for."""
    if asked.chords == "given":
        tune = _transposed(tune, asked.transpose)
    else:
        tune = _with_chords(tune, asked.chords, asked.transpose)
    for bars, octaves in asked.octave:
        tune = _moved(tune, bars, octaves)
    if asked.tempo is None:
        return tune
    with naming(f"--tempo {asked.tempo}"):
        return tune.at_tempo(asked.tempo)


def refuse_lacking_all(tune: Tune, name: str, texture: str, others: Collection[str] = ()) -> None:
    """Refuses a tune that lacks what every texture is made of which will be played, in the words of
    the one asked for; name: as typed, since a title says not in which file it stands. One level
    that can be made is enough, and the others say themselves what they lack."""
    lacking = {one: _lacks(tune, one) for one in (texture, *others)}
    if all(lacking[one] for one in others or (texture,)):
        told = lacking[texture] or next(filter(None, lacking.values()))
        raise Refused(f"{'standard input' if name == '-' else name}: {told}")


def _lacks(tune: Tune, texture: str) -> str:
    """What of the texture the tune lacks, one sentence; nothing where it has all."""
    from solver.errors import ArrangeError
    from solver.moments import refuse_lacking

    try:
        refuse_lacking(tune, texture)
    except ArrangeError as error:
        return str(error)
    return ""


def _moved(tune: Tune, bars: str, octaves: int) -> Tune:
    from solver.conditions.bars import Bars
    from tune.octaves import by_octaves

    with naming("--octave"):
        return by_octaves(tune, Bars.parse(bars).of(tune), octaves)


def _transposed(tune: Tune, semitones: int) -> Tune:
    with naming(f"--transpose {semitones}"):
        return tune.transposed(semitones)


def _with_chords(tune: Tune, chords: str, transpose: int) -> Tune:
    """The tune, transposed, with the chords that were asked for instead of its own; a chart is in
    the tune's own key, or in the one that it is transposed to."""
    from undersong.api import read_tune
    from undersong.chart_pickup import refuse_other_pickup
    from undersong.chords import MAKERS, lay_chords

    if chords not in MAKERS and Path(chords).suffix.lower() not in (".chart", ".txt"):
        raise Refused(
            f"--chords: write given, proposed, drone or the name of a chart's file, not {chords!r}"
        )
    moved = _transposed(tune, transpose)
    with naming("--chords"):
        if chords in MAKERS:
            return MAKERS[chords](tune).transposed(transpose)
        chart = read_tune(chords)
    with naming(f"--chords {chords}"):
        refuse_other_pickup(tune, chart)
        if chart.key == moved.key != tune.key:
            return lay_chords(moved, chart)
        return lay_chords(tune, chart).transposed(transpose)


def option_named(setting: str) -> AbstractContextManager[None]:
    """Puts the option's name for a setting before complaints of it."""
    return naming("--bass" if setting == "manner" else f"--{setting.replace('_', '-')}")


def instrument_of(asked: Asked) -> Instrument:
    """The instrument, strung and capoed, its frets told as they are asked for."""
    from undersong.settings import strung_as

    strung = strung_as(
        option_named,
        instrument=asked.instrument,
        scale=asked.scale,
        tuning=asked.tuning,
        capo=asked.capo,
    )
    return strung.counted(asked.from_capo)


def hand_of(asked: HandAsked) -> Hand:
    from fretboard.presets import hand

    with naming("--hand"):
        found = hand(asked.hand)
    for finger in asked.without_finger:
        with naming(f"--without-finger {finger}"):
            found = found.without(finger)
    return found


def style_of(asked: Asked, tune: Tune | None, instrument: Instrument) -> Style:
    """The style; tune, instrument: for what follows from them where nothing was said, None for a
    tune that is not read yet."""
    from undersong.settings import above_capo, style_from

    limits: dict[str, int | None] = {}
    for name in ("bass_ceiling", "highest", "melody_highest"):
        label = getattr(asked, name)
        with option_named(name):
            limits[name] = None if label is None else above_capo(label, instrument, asked.from_capo)
    return style_from(
        option_named,
        tune,
        instrument,
        texture=asked.texture,
        manner=asked.bass,
        right_hand=asked.right_hand,
        no_chord=asked.no_chord,
        bass_above=asked.bass_above,
        graces=asked.graces,
        limits=limits,
    )


def weights_of(asked: WeightsAsked) -> Weights:
    """The defaults, changed by the file, changed by single weights."""
    from scoring.weights import Weights

    with naming("--weights"):
        weights = Weights() if asked.weights is None else Weights.from_file(Path(asked.weights))
    with naming("--weight"):
        return weights.updated(dict(asked.weight))
