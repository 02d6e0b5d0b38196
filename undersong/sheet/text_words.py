"""The words around the tab: what is played on what and how, and how good the answer is.

Public: header, footer, tuning_words, capo_words, right_hand_words, passage_words, verdict_words.
"""

from dataclasses import replace
from textwrap import wrap

from fretboard.hand import CAUTION
from fretboard.tuning import pitch_name
from solver.conditions import NONE
from solver.result import PROVEN, Arrangement
from solver.style import TEXTURES, Style
from tune.bar_names import bar_name
from tune.readers.chart.fields import ORIGINS
from tune.tune import GIVEN
from undersong.sheet.asked_words import asked_words
from undersong.sheet.bass_names import shown_role
from undersong.sheet.bass_words import bass_words
from undersong.sheet.folding import Folding, WrittenOut
from undersong.sheet.hands import carrier_of
from undersong.sheet.setting_words import hand_words
from undersong.sheet.text_bar import Reading, tempo_words
from undersong.sheet.text_difficulty import difficulty_words, tempo_advice
from undersong.sheet.text_drone import clash_words
from undersong.sheet.text_melody import melody_words
from undersong.sheet.text_signs import (
    ROLE_SIGNS,
    ROLE_WORDS,
    finger_words,
    ordinal,
    plain,
)
from undersong.sheet.third_words import third_words

_NAME = 12
_KEPT = "~"
"""A blank at which no line is broken; stands in the legend only."""


def header(reading: Reading, folding: Folding) -> list[str]:
    """The tune, the instrument and the way of playing, in lines no wider than the page."""
    arrangement, unicode = reading.arrangement, reading.options.unicode
    tune = arrangement.tune
    width = reading.options.width
    lines = wrap(plain(tune.title, unicode), width) or ["?"]
    lines += wrap(plain(tune.composer, unicode), width)
    lines.append("")
    counted = arrangement.instrument.counted(reading.options.from_capo)
    asked = asked_words(replace(arrangement, instrument=counted))
    level = {} if arrangement.level is None else {"Level": str(arrangement.level)}
    lines += _named(
        reading,
        level
        | {
            "Tune": f"{tune.key}, {tune.metre}, {tempo_words(tune.tempo)}",
        }
        | _chords(reading)
        | {
            "Tuning": f"{tuning_words(reading)} (as it sounds, bass to melody), "
            f"{capo_words(reading)}",
            "Instrument": arrangement.instrument.name,
            "Hand": hand_words(arrangement.hand),
        }
        | _way(arrangement)
        | ({"Asked": "; ".join(asked)} if asked else {}),
    )
    if folding.written_out:
        passages = " and ".join(passage_words(reading, passage) for passage in folding.written_out)
        differ = "bass differs" if arrangement.style.texture == "bass" else "hands differ"
        told = f"Each time is written out, since the {differ}: {passages}."
        if arrangement.conditions.alike is None:
            told += " --alike repeats asks for the same hands each time."
        lines += wrap(told, width, break_on_hyphens=False)
    if folding.first_stands:
        told = (
            "Where a bar is repeated, its fingers, how long notes sound and what they are to their "
            "chords are those of its first time."
        )
        lines += wrap(told, width)
    return lines


def footer(reading: Reading, commas: bool) -> list[str]:
    """How good the answer is, what the signs mean, and the caution about reach; commas: they stand
    between the parts of some beat."""
    width = reading.options.width
    lines = wrap(verdict_words(reading), width)
    lines += wrap(_costliest(reading), width)
    lines += wrap(difficulty_words(reading.arrangement), width)
    lines += wrap(tempo_advice(reading.arrangement), width)
    lines += wrap(melody_words(reading.arrangement, reading.options.from_capo), width)
    lines += wrap(third_words(reading.arrangement), width, break_on_hyphens=False)
    if reading.arrangement.style.texture == "drone":
        lines += wrap(clash_words(reading), width)
    lines.append("")
    legend = _named(reading, _legend(reading, commas))
    lines += [line.replace(_KEPT, " ") for line in legend]
    lines.append("")
    return lines + wrap(CAUTION, width)


def _named(reading: Reading, table: dict[str, str]) -> list[str]:
    """Names at the left, words beside them."""
    lines: list[str] = []
    for name, words in table.items():
        lines += wrap(
            f"{name:<{_NAME}}{plain(words, reading.options.unicode)}",
            reading.options.width,
            subsequent_indent=" " * _NAME,
        )
    return lines


def _way(arrangement: Arrangement) -> dict[str, str]:
    """What is played, and how: a drone has neither a bass line nor a pattern."""
    style = arrangement.style
    texture = {"Texture": f"{style.texture}: {TEXTURES[style.texture]}"}
    if style.texture == "drone":
        return texture
    way = {
        "Bass": bass_words(arrangement),
        "Right hand": right_hand_words(style),
    }
    return way if style.texture == "song" else texture | way


def _chords(reading: Reading) -> dict[str, str]:
    """Where the chords come from, if not with the tune."""
    origin = reading.arrangement.tune.chords_are
    return {} if origin == GIVEN else {"Chords": ORIGINS[origin]}


def tuning_words(reading: Reading) -> str:
    return "-".join(pitch_name(pitch) for pitch in reading.arrangement.instrument.tuning)


def capo_words(reading: Reading) -> str:
    instrument = reading.arrangement.instrument
    if not instrument.capo:
        return "no capo"
    start = "the capo" if reading.options.from_capo else "the nut"
    return f"capo at {instrument.label(instrument.capo)}, frets counted from {start}"


def right_hand_words(style: Style) -> str:
    """The pattern; of a bass part its bass notes alone are played."""
    hand = style.right_hand
    if style.texture == "bass":
        return f"{hand.name}: its bass notes alone{', damped' if hand.damped else ''}"
    return f"{hand.name}: {hand.meaning}" if hand.meaning else hand.name


def passage_words(reading: Reading, passage: WrittenOut) -> str:
    """``bars 1 to 8 (first in bar 3)``; a pickup has no number of its own."""
    bars = reading.arrangement.tune.bars
    first, last, differs = (
        bars[at].number for at in (passage.first, passage.last, passage.differs)
    )
    span = f"bars {first} to {last}" if first else f"{bar_name(first)} to bar {last}"
    return f"{span} (first in {bar_name(differs)})"


def verdict_words(reading: Reading) -> str:
    arrangement = reading.arrangement
    proof = arrangement.proof
    cost = f"{arrangement.cost} ms of hand work"
    if proof.status == PROVEN:
        return f"{proof.status.capitalize()}: {cost}; {_none_better(arrangement)}"
    return (
        f"{proof.status.capitalize()}: {cost}, at most {proof.gap} ms above the best; another run "
        "may find another."
    )


def _none_better(arrangement: Arrangement) -> str:
    """What is proven."""
    asked = arrangement.conditions
    holding = " that holds what is asked" if asked != NONE else ""
    way = f"with this instrument, hand, style and weights no way to play the tune{holding}"
    if asked.costliest_first:
        return f"{way} has a cheaper costliest moment, and none with an equal one costs less."
    if arrangement.asked_cost != arrangement.cost:
        return f"{way} costs less once what the conditions charge is added."
    return f"{way} costs less."


def _costliest(reading: Reading) -> str:
    """The played bar that costs most, the first of equals."""
    arrangement = reading.arrangement
    costs: dict[int, int] = {}
    for index, moment in enumerate(arrangement.moments):
        costs[moment.bar] = costs.get(moment.bar, 0) + arrangement.bill.at(index)
    number = max(costs, key=lambda bar: costs[bar])
    played = arrangement.tune.played[number - 1]
    name = arrangement.tune.bars[played.written].number
    again = sum(bar.written == played.written for bar in arrangement.tune.played) > 1
    time = f", the {ordinal(played.turn)} time" if again else ""
    return f"Costliest: {bar_name(name)}{time} ({costs[number]} ms of work)."


def _legend(reading: Reading, commas: bool) -> dict[str, str]:
    """The signs that this arrangement needs."""
    signs = reading.signs
    arrangement = reading.arrangement
    damped = any(moment.damped for moment in arrangement.moments)
    used = {
        shown_role(moment, choice, arrangement.instrument)
        for moment, choice in zip(arrangement.moments, arrangement.choices, strict=True)
    }
    roles = [
        f"{sign}{_KEPT}{ROLE_WORDS.get(role, role)}"
        for role, sign in ROLE_SIGNS.items()
        if role in used
    ]
    lines = (
        f"a number is the fret where the string is struck; {signs.sounds * 3} it sounds on, "
        f"{signs.silent * 3} it is silent; {signs.let_go} let go, or hushed by "
        "a touch if open"
    )
    lines += f"; {signs.damped} damped with the palm" if damped else ""
    lines += f"; {signs.crossed} the melody crosses to this string" if _crosses(reading) else ""
    legend = {
        "Beats": "numbers; the parts of a beat are dots"
        + (", and commas between" if commas else ""),
        "Lines": lines,
        "Fingers": "below, in the same order of strings: "
        + ", ".join(
            f"{letter}{_KEPT}{word}" for letter, word in finger_words(arrangement.hand).items()
        ),
    }
    if arrangement.style.texture != "drone":
        legend["Bass row"] = "the note in its chord: " + ", ".join(roles)
    return legend


def _crosses(reading: Reading) -> bool:
    """Whether a melody note is played on another string than the melody string."""
    made = reading.arrangement
    last = len(made.instrument.courses) - 1
    carriers = (
        carrier_of(moment, choice, made.instrument)
        for moment, choice in zip(made.moments, made.choices, strict=True)
    )
    return any(carrier is not None and carrier < last for carrier in carriers)
