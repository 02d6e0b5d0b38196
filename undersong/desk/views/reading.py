"""The tab read out bar by bar, for whoever listens to it instead of looking.

Public: reading_view.
"""

from typing import Any

from solver.result import Arrangement
from undersong.compare.shown import shown_beats
from undersong.compared import printed_bars
from undersong.sheet.printed_chords import printed_chords
from undersong.sheet.text_signs import finger_words

_STRINGS = {3: ("bass", "middle", "melody"), 4: ("bass", "second", "third", "melody")}


def reading_view(arrangement: Arrangement) -> list[dict[str, Any]]:
    """A row for each played bar."""
    tune = arrangement.tune
    words = _words(arrangement)
    rows = []
    for played in tune.played:
        number = tune.bars[played.written].number
        name = printed_bars(tune, (played.number,))
        times = name.partition(" (")[2].rstrip(")")
        opening = f"Bar {number}" if number else "Pickup"
        rows.append(
            {
                "played": played.number,
                "number": str(number) if number else "pickup",
                "times": times,
                "words": f"{opening}{f', {times}' if times else ''}. {words[played.number]}",
            }
        )
    return rows


def _words(made: Arrangement) -> dict[int, str]:
    names = _STRINGS.get(len(made.instrument.courses), _STRINGS[3])
    words = {
        number: "noter" if made.hand.noter else finger_words(made.hand).get(letter, "finger")
        for number, letter in ((number, made.hand.letter(number)) for number in range(5))
    }
    beats = shown_beats(made)
    found: dict[int, list[str]] = {played.number: [] for played in made.tune.played}
    said: object = None
    printed = printed_chords(made)
    for index, (moment, choice) in enumerate(zip(made.moments, made.choices, strict=True)):
        parts = found[moment.bar]
        for chord in printed[index]:
            if chord is not None and (chord != said or not parts):
                parts.append(f"Chord {chord.symbol}.")
                said = chord
        struck = [
            f"the {names[course]} string {_fret(made, fret)}{_finger(words, finger)}"
            for course, (fret, finger) in enumerate(
                zip(choice.grip.frets, choice.grip.fingers, strict=True)
            )
            if choice.struck[course]
        ]
        held = [
            f"the {names[course]} string"
            for course, fret in enumerate(choice.grip.frets)
            if fret >= 0 and not choice.struck[course]
        ]
        told = f"play {' and '.join(struck)}" if struck else "play nothing"
        if moment.damped and choice.struck[0]:
            told += ", damped with the palm"
        if held:
            told += f"; {' and '.join(held)} ring{'s' * (len(held) == 1)} on"
        parts.append(f"{beats[index].capitalize()}: {told}.")
    return {number: " ".join(parts) or "All rings on." for number, parts in found.items()}


def _fret(made: Arrangement, fret: int) -> str:
    if fret == made.instrument.capo:
        return "open"
    return f"at fret {made.instrument.label(fret)}"


def _finger(words: dict[int, str], finger: int) -> str:
    """Such as `` (ring finger)``; nothing for an open string."""
    if finger < 0:
        return ""
    word = words[finger]
    whole = word in ("thumb", "noter") or "finger" in word
    return f" ({word})" if whole else f" ({word} finger)"
