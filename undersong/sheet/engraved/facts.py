"""What the page tells of the way of playing: facts by name, and what differs where bars repeat.

Public: facts, left_out, named_only, reading_of, pretty, written_out, Fact, HEADS, FULL, SHORT,
BRIEF, FIRST.
"""

from collections.abc import Iterator

from solver.style import TEXTURES
from tune.readers.chart.fields import ORIGINS
from tune.tune import GIVEN
from undersong.sheet.bass_words import bass_words
from undersong.sheet.engraved.score import Score
from undersong.sheet.options import SheetOptions
from undersong.sheet.text_bar import Reading, tempo_words
from undersong.sheet.text_words import capo_words, passage_words, right_hand_words, tuning_words

Fact = tuple[str, str]
"""Name, what is told."""

FULL, SHORT, BRIEF = HEADS = ("full", "short", "brief")
"""Every fact in columns; or only what a player needs before the first note, in as few rows as can
be, the rest in the legend; or every fact so, what has a name by its name alone."""

FIRST = ("Key", "Tempo", "Tuning", "Capo", "Level")
"""Facts that a player needs before the first note."""

_NAMED = ("Level", "Texture", "Bass", "Right hand")
"""Facts whose name alone tells a player who knows it."""


def facts(score: Score) -> Iterator[Fact]:
    """Every fact, in the order that they are printed in."""
    made = score.arrangement
    reading, tune, style = reading_of(score), made.tune, made.style
    key = str(tune.key)
    tonic, _, mode = key.partition(" ")
    yield "Key", f"{pretty(tonic)} {mode}, {tune.metre}"
    yield "Tempo", tempo_words(tune.tempo)
    yield "Tuning", f"{pretty(tuning_words(reading))}, bass to melody"
    yield "Capo", capo_words(reading)
    if score.options.level or made.level is not None:
        yield "Level", score.options.level or str(made.level)
    if score.bass_part and style.texture != "bass":
        yield "Texture", f"bass part: the bass string alone, out of a {style.texture} arrangement"
    else:
        yield "Texture", f"{style.texture}: {TEXTURES[style.texture]}"
    if style.texture != "drone":
        yield "Bass", bass_words(made)
        if not score.bass_part:
            yield "Right hand", right_hand_words(style)
    if tune.chords_are != GIVEN:
        yield "Chords", ORIGINS[tune.chords_are]


def named_only(fact: Fact) -> Fact:
    """Level, texture, bass and right hand without what their names mean."""
    name, told = fact
    return (name, told.partition(":")[0]) if name in _NAMED else fact


def left_out(score: Score, way: str) -> tuple[Fact, ...]:
    """What a head of that way leaves to be told elsewhere."""
    return tuple(
        ("Pattern" if name == "Right hand" else name, told)
        for name, told in facts(score)
        if way == SHORT and name not in FIRST
    )


def written_out(score: Score) -> str:
    """Which passages are not folded, and what a bar that is folded stands for."""
    told = []
    if score.folding.written_out:
        reading = reading_of(score)
        passages = " and ".join(passage_words(reading, one) for one in score.folding.written_out)
        differ = "bass differs" if score.bass_part else "hands differ"
        told.append(f"Each time is written out, since the {differ}: {passages}.")
    if score.folding.first_stands:
        told.append(
            "Where a bar is repeated, its fingers and how long notes sound are those of its first "
            "time."
        )
    return " ".join(told)


def reading_of(score: Score) -> Reading:
    """The arrangement as text of a page reads it."""
    options = score.options
    return Reading(
        score.arrangement,
        SheetOptions(bass_on_top=options.bass_on_top, from_capo=options.from_capo, unicode=True),
    )


def pretty(text: str) -> str:
    """Real sharps and flats in the name of a note."""
    return text.replace("#", "♯").replace("b", "♭")
