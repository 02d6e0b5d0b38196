"""What stands around the music: the head of the first page, what the signs mean on the last.

Public: head, legend, Panel.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from fretboard.hand import CAUTION
from solver.manners import MANNERS
from solver.style import TEXTURES
from tune.readers.chart.fields import ORIGINS
from tune.time import QUARTER, Tempo
from tune.tune import GIVEN
from undersong.sheet.engraved.look import Look
from undersong.sheet.engraved.score import Score
from undersong.sheet.engraved.signs import note_sign, signed
from undersong.sheet.lettering import POINT, rule, width, words, wrapped
from undersong.sheet.options import SheetOptions
from undersong.sheet.paper import SANS, SERIF
from undersong.sheet.text_bar import Reading, tempo_words
from undersong.sheet.text_difficulty import difficulty_words, tempo_advice
from undersong.sheet.text_melody import melody_words
from undersong.sheet.text_signs import finger_words, plain
from undersong.sheet.text_words import (
    capo_words,
    passage_words,
    right_hand_words,
    tuning_words,
    verdict_words,
)

_LEADING = 1.32


@dataclass(frozen=True)
class Panel:
    """drawn: SVG from (0, 0), in mm; height: mm."""

    drawn: str
    height: float


def head(score: Score, room: float, scale: float, look: Look) -> Panel:
    """Title, who made it, and how it is played, in two columns under a rule."""
    tune = score.arrangement.tune
    title, small = 20 * POINT * scale, 9 * POINT * scale
    drawn: list[str] = []
    y = 0.0
    for line in wrapped(plain(tune.title, unicode=True), room, title, bold=True) or ["?"]:
        y += title * 1.05
        drawn.append(signed(0, y, line, title, bold=True, kind="title").replace(SANS, SERIF))
    y += title * 0.25
    credit = plain(tune.composer or tune.source, unicode=True)
    for line in wrapped(credit, room, small * 1.1):
        y += small * 1.45
        drawn.append(words(0, y, line, small * 1.1, fill=look.soft))
    y += small * 0.8
    drawn.append(rule(0, y, room, y, 0.5, ink=look.accent))
    y += small * 0.5
    gap = 8.0
    column = (room - gap) / 2
    facts = list(_facts(score))
    wrapped_facts = [
        (name, wrapped(told, column - _name(small), small) or [""]) for name, told in facts
    ]
    total = sum(len(lines) for _, lines in wrapped_facts)
    heights = [y, y]
    taken, side = 0, 0
    for name, lines in wrapped_facts:
        if side == 0 and taken * 2 >= total:
            side = 1
        left = side * (column + gap)
        at = heights[side] + small * _LEADING
        drawn.append(words(left, at, name, small, bold=True, fill=look.accent))
        for line in lines:
            if name == "Tempo":
                drawn.append(_tempo(left + _name(small), at, tune.tempo, small))
            else:
                drawn.append(signed(left + _name(small), at, line, small, kind="fact"))
            at += small * _LEADING
        heights[side] = at - small * _LEADING
        taken += len(lines)
    y = max(heights) + small * 0.6
    for line in wrapped(_written_out(score), room, small):
        y += small * _LEADING
        drawn.append(words(0, y, line, small))
    return Panel("".join(drawn), y + small * 0.9)


def _name(size: float) -> float:
    """mm from a fact's name to its words."""
    return size * 6.2


def _reading(score: Score) -> Reading:
    options = score.options
    return Reading(
        score.arrangement,
        SheetOptions(bass_on_top=options.bass_on_top, from_capo=options.from_capo, unicode=True),
    )


def _facts(score: Score) -> Iterator[tuple[str, str]]:
    made = score.arrangement
    reading, tune, style = _reading(score), made.tune, made.style
    key = str(tune.key)
    tonic, _, mode = key.partition(" ")
    yield "Key", f"{_pretty(tonic)} {mode}, {tune.metre}"
    yield "Tempo", tempo_words(tune.tempo)
    yield "Tuning", f"{_pretty(tuning_words(reading))}, bass to melody"
    yield "Capo", capo_words(reading)
    if score.options.level:
        yield "Level", score.options.level
    if score.bass_part and style.texture != "bass":
        yield "Texture", f"bass part: the bass string alone, out of a {style.texture} arrangement"
    else:
        yield "Texture", f"{style.texture}: {TEXTURES[style.texture]}"
    if style.texture != "drone":
        yield "Bass", _bass_words(score)
        if not score.bass_part:
            yield "Right hand", right_hand_words(style)
    if tune.chords_are != GIVEN:
        yield "Chords", ORIGINS[tune.chords_are]


def _bass_words(score: Score) -> str:
    """The manner; and where the tune leaves it no more than one note to each chord, that."""
    made = score.arrangement
    told = f"{made.style.manner}: {MANNERS[made.style.manner][0]}"
    roles = {choice.role for choice in made.choices if choice.struck[0] and choice.role}
    if made.style.manner in ("held", "roots") or not roles <= {"root", "slash bass"}:
        return told
    return f"{told}; in this tune the root alone"


def _pretty(text: str) -> str:
    return text.replace("#", "♯").replace("b", "♭")


def _tempo(x: float, y: float, tempo: Tempo, size: float) -> str:
    """A note of the beat's value, and how many of it in a minute; plain words where the beat is
    no note value."""
    for base in (1, 2, 4, 8, 16):
        whole = 4 * QUARTER // base
        for dots, length in ((0, whole), (1, whole * 3 // 2)):
            if tempo.beat == length:
                drawn, wide = note_sign(x, y, size * 1.15, base, dots, "#000")
                return drawn + words(x + wide + 0.8, y, f"= {tempo.per_minute}", size)
    return words(x, y, tempo_words(tempo), size)


def _written_out(score: Score) -> str:
    told = []
    if score.folding.written_out:
        reading = _reading(score)
        passages = " and ".join(passage_words(reading, one) for one in score.folding.written_out)
        differ = "bass differs" if score.bass_part else "hands differ"
        told.append(f"Each time is written out, since the {differ}: {passages}.")
    if score.folding.first_stands:
        told.append(
            "Where a bar is repeated, its fingers and how long notes sound are those of its first "
            "time."
        )
    return " ".join(told)


def legend(score: Score, room: float, scale: float, look: Look) -> Panel:
    """What the signs mean, how hard and how good the answer is, the caution, and where the tune
    is from."""
    size = 7.6 * POINT * scale
    drawn = [rule(0, 0, room, 0, 0.3, ink=look.accent)]
    y = size * 0.4
    for name, told in _told(score):
        left = width(f"{name}  ", size, bold=True) if name else 0.0
        lines = wrapped(told, room - left, size)
        for at, line in enumerate(lines):
            y += size * _LEADING
            if at == 0 and name:
                drawn.append(words(0, y, name, size, bold=True, fill=look.accent))
            drawn.append(signed(left, y, line, size, kind="legend"))
    return Panel("".join(drawn), y + size * 0.4)


def _told(score: Score) -> Iterator[tuple[str, str]]:
    made = score.arrangement
    tune = made.tune
    if score.tab:
        letters = ", ".join(f"{letter} {word}" for letter, word in finger_words(made.hand).items())
        yield "Fingers", f"the letter behind a number: {letters}; no letter: the string is open."
        yield "Lines", _lines_words(score)
        if not score.bass_part:
            yield (
                "Right hand",
                (
                    "below the strings: a dot for the bass string, an upright stroke for the "
                    "others; under them the counts, bold where a string is struck."
                ),
            )
    verdict = verdict_words(_reading(score))
    if score.bass_part and made.style.texture != "bass":
        yield "Answer", f"of the whole arrangement, all its strings: {verdict}"
    else:
        parts = (verdict, difficulty_words(made), tempo_advice(made), melody_words(made))
        yield "Answer", " ".join(filter(None, parts))
    yield "", CAUTION
    origin = [
        f"Tune: {plain(tune.composer, unicode=True)}" if tune.composer else "",
        f"from {plain(tune.source, unicode=True)}" if tune.source else "",
        f"licence {plain(tune.licence, unicode=True)}" if tune.licence else "",
    ]
    told = ", ".join(word for word in origin if word)
    yield "", f"{told}. Arranged with Undersong." if told else "Arranged with Undersong."


def _lines_words(score: Score) -> str:
    made = score.arrangement
    told = [
        "a number is the fret where the string is struck; the line is thick while it sounds; an "
        "upright tick ends a string that is let go, or hushed by a touch if open"
    ]
    figures = [f for bar in score.bars for hit in bar.hits for f in hit.figures]
    if any(figure.damped for figure in figures):
        told.append("a black wedge: damped with the palm")
    if made.style.texture in ("solo", "drone"):
        told.append("bold numbers are the melody")
    return "; ".join(told) + "."
