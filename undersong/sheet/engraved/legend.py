"""The legend of the last page: what the signs mean, how good the answer is, whose the tune is.

Public: legend.
"""

from collections.abc import Iterator

from fretboard.hand import CAUTION
from undersong.sheet.engraved.facts import FULL, Fact, left_out, reading_of
from undersong.sheet.engraved.heading import Panel
from undersong.sheet.engraved.look import Look
from undersong.sheet.engraved.score import Score
from undersong.sheet.engraved.signs import signed
from undersong.sheet.engraved.staff import staff_bars
from undersong.sheet.lettering import POINT, rule, width, words, wrapped
from undersong.sheet.text_difficulty import difficulty_words, tempo_advice
from undersong.sheet.text_melody import melody_words
from undersong.sheet.text_signs import finger_words, plain
from undersong.sheet.text_words import verdict_words
from undersong.sheet.third_words import third_words

_LEADING = 1.32


def legend(score: Score, room: float, scale: float, look: Look, way: str = FULL) -> Panel:
    """What the signs mean, how hard and how good the answer is, the caution, and where the tune
    is from; way: the head's, for what it leaves to be told here."""
    size = 7.6 * POINT * scale
    drawn = [rule(0, 0, room, 0, 0.3, ink=look.accent)]
    y = size * 0.4
    for name, told in (*left_out(score, way), *_told(score)):
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
    bound = score.options.bound
    if score.tab and not bound:
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
    if (
        score.staff
        and not bound
        and any(note.over for bar in staff_bars(score) for note in bar.notes)
    ):
        yield (
            "Notes",
            (
                "a note head in parentheses is not struck: it rings on from the bar played before, "
                "over a repeat sign or from an ending."
            ),
        )
    verdict = verdict_words(reading_of(score))
    if score.bass_part and made.style.texture != "bass":
        yield "Answer", f"of the whole arrangement, all its strings: {verdict}"
    else:
        parts = (
            verdict,
            difficulty_words(made),
            tempo_advice(made),
            melody_words(made, score.options.from_capo),
            "" if score.bass_part else third_words(made, brief=True),
        )
        yield "Answer", " ".join(filter(None, parts))
    if not bound:
        yield "", CAUTION
    origin = [
        f"Tune: {plain(tune.composer, unicode=True)}" if tune.composer else "",
        f"from {plain(tune.source, unicode=True)}" if tune.source else "",
        f"licence {plain(tune.licence, unicode=True)}" if tune.licence else "",
    ]
    told = ", ".join(word for word in origin if word)
    if bound:
        yield "", f"{told}." if told else ""
        return
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
