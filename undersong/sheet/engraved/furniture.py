"""What stands around the music: the head of the first page, what the signs mean on the last.

Public: head, legend, Panel, HEADS.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement, pairwise

from fretboard.hand import CAUTION
from solver.manners import MANNERS
from solver.style import TEXTURES
from tune.readers.chart.fields import ORIGINS
from tune.time import QUARTER, Tempo
from tune.tune import GIVEN
from undersong.sheet.engraved.look import Look
from undersong.sheet.engraved.score import Score
from undersong.sheet.engraved.signs import note_sign, signed, signed_width
from undersong.sheet.engraved.staff import staff_bars
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

Fact = tuple[str, str]
"""Name, what is told."""

_LEADING = 1.32

_BETWEEN = 8.0
"""mm between two columns, or two facts in a row."""

FULL, SHORT, BRIEF = HEADS = ("full", "short", "brief")
"""Every fact in columns; or only what a player needs before the first note, in as few rows as can
be, the rest in the legend; or every fact so, what has a name by its name alone."""

_FIRST = ("Key", "Tempo", "Tuning", "Capo", "Level")
"""Facts that a player needs before the first note."""


@dataclass(frozen=True)
class Panel:
    """drawn: SVG from (0, 0), in mm; height: mm."""

    drawn: str
    height: float


def head(score: Score, room: float, scale: float, look: Look, way: str = FULL) -> Panel:
    """Title, who made it, and how it is played, in columns under a rule: two, or three across a
    broad page; way: one of ``HEADS``."""
    short = way != FULL
    title, small = 20 * POINT * scale, 9 * POINT * scale
    broad = score.options.paper.width_mm > score.options.paper.height_mm
    drawn, y = _titles(score, room, title, small * 1.1, look, beside=broad or short)
    y += small * (0.5 if short else 0.8)
    drawn.append(rule(0, y, room, y, 0.5, ink=look.accent))
    y += small * (0.3 if short else 0.5)
    facts = list(_facts(score))
    if short:
        chosen = [f for f in facts if f[0] in _FIRST]
        if way == BRIEF:
            chosen = [_named_only(fact) for fact in facts]
        rows, y = _in_rows(score, chosen, y, room, small, look)
    else:
        rows, y = _in_columns(score, facts, y, room, 3 if broad else 2, small, look)
    drawn += rows
    y += small * (0.1 if short else 0.6)
    for line in wrapped(_written_out(score), room, small):
        y += small * _LEADING
        drawn.append(words(0, y, line, small))
    return Panel("".join(drawn), y + small * 0.9)


def _titles(
    score: Score, room: float, title: float, small: float, look: Look, beside: bool
) -> tuple[list[str], float]:
    """Title and maker, and how far down they reach; beside: on one line where they fit."""
    tune = score.arrangement.tune
    drawn: list[str] = []
    y = 0.0
    lines = wrapped(plain(tune.title, unicode=True), room, title, bold=True) or ["?"]
    for line in lines:
        y += title * 1.05
        drawn.append(signed(0, y, line, title, bold=True, kind="title").replace(SANS, SERIF))
    credit = plain(tune.composer or tune.source, unicode=True)
    taken = signed_width(lines[-1], title, bold=True) + title
    if beside and credit and taken + width(credit, small) <= room:
        drawn.append(words(room, y, credit, small, anchor="end", fill=look.soft))
        return drawn, y + title * 0.1
    y += title * 0.25
    for line in wrapped(credit, room, small):
        y += small * _LEADING
        drawn.append(words(0, y, line, small, fill=look.soft))
    return drawn, y


def _in_columns(
    score: Score, facts: Sequence[Fact], y: float, room: float, many: int, small: float, look: Look
) -> tuple[list[str], float]:
    """Each fact's name with its words beside it, in columns as level as can be."""
    column = (room - _BETWEEN * (many - 1)) / many
    lines = [wrapped(told, column - _name(small), small) or [""] for _, told in facts]
    drawn: list[str] = []
    bottom = y
    for at, (start, end) in enumerate(_level([len(some) for some in lines], many)):
        left, base = at * (column + _BETWEEN), y
        for (name, _), some in zip(facts[start:end], lines[start:end], strict=True):
            drawn.append(
                words(left, base + small * _LEADING, name, small, bold=True, fill=look.accent)
            )
            for line in some:
                base += small * _LEADING
                drawn.append(_fact(score, name, left + _name(small), base, line, small))
        bottom = max(bottom, base)
    return drawn, bottom


def _level(heights: Sequence[int], many: int) -> list[tuple[int, int]]:
    """(start, end) of what each column holds, in order, the tallest as low as can be; of equals
    the one whose first columns are fuller."""
    count = len(heights)

    def cost(cuts: tuple[int, ...]) -> tuple[int, list[int]]:
        edges = (0, *cuts, count)
        tall = [sum(heights[start:end]) for start, end in pairwise(edges)]
        return max(tall), [-one for one in tall]

    best = min(combinations_with_replacement(range(count + 1), many - 1), key=cost)
    return list(pairwise((0, *best, count)))


def _in_rows(
    score: Score, facts: Sequence[Fact], y: float, room: float, small: float, look: Look
) -> tuple[list[str], float]:
    """Facts one after the other, as many in a row as there is room for."""
    drawn: list[str] = []
    x = 0.0
    y += small * _LEADING
    for name, told in facts:
        label = width(f"{name}  ", small, bold=True)
        wide = label + signed_width(told, small)
        if x > 0 and x + wide > room:
            x, y = 0.0, y + small * _LEADING
        for at, line in enumerate(wrapped(told, room - x - label, small) or [""]):
            y += small * _LEADING if at else 0.0
            if at == 0:
                drawn.append(words(x, y, name, small, bold=True, fill=look.accent))
            drawn.append(_fact(score, name, x + label, y, line, small))
        x += wide + _BETWEEN
    return drawn, y


def _named_only(fact: Fact) -> Fact:
    """Texture, bass and right hand without what their names mean."""
    name, told = fact
    return (name, told.partition(":")[0]) if name in ("Texture", "Bass", "Right hand") else fact


def _fact(score: Score, name: str, x: float, y: float, line: str, size: float) -> str:
    if name == "Tempo":
        return _tempo(x, y, score.arrangement.tune.tempo, size)
    return signed(x, y, line, size, kind="fact")


def _name(size: float) -> float:
    """mm from a fact's name to its words."""
    return size * 6.2


def _reading(score: Score) -> Reading:
    options = score.options
    return Reading(
        score.arrangement,
        SheetOptions(bass_on_top=options.bass_on_top, from_capo=options.from_capo, unicode=True),
    )


def _facts(score: Score) -> Iterator[Fact]:
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


def legend(score: Score, room: float, scale: float, look: Look, way: str = FULL) -> Panel:
    """What the signs mean, how hard and how good the answer is, the caution, and where the tune
    is from; way: the head's, for what it leaves to be told here."""
    size = 7.6 * POINT * scale
    drawn = [rule(0, 0, room, 0, 0.3, ink=look.accent)]
    y = size * 0.4
    left_out = [
        ("Pattern" if name == "Right hand" else name, told)
        for name, told in _facts(score)
        if way == SHORT and name not in _FIRST
    ]
    for name, told in (*left_out, *_told(score)):
        left = width(f"{name}  ", size, bold=True) if name else 0.0
        lines = wrapped(told, room - left, size)
        for at, line in enumerate(lines):
            y += size * _LEADING
            if at == 0 and name:
                drawn.append(words(0, y, name, size, bold=True, fill=look.accent))
            drawn.append(signed(left, y, line, size, kind="legend"))
    return Panel("".join(drawn), y + size * 0.4)


def _told(score: Score) -> Iterator[Fact]:
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
    if score.staff and any(note.over for bar in staff_bars(score) for note in bar.notes):
        yield (
            "Notes",
            (
                "a note head in parentheses is not struck: it rings on from the bar played before, "
                "over a repeat sign or from an ending."
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
