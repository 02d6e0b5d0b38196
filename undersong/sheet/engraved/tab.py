"""The tab of a line: strings, frets, fingers, how long each string sounds, strokes and counts.

A string's line is thin; from a number on it is thick for as long as the string sounds, so that a
glance shows which fingers stay down. The finger's letter stands right behind its number, on the
same line. Below, what the right hand does: a dot for the bass string, an upright stroke for the
others, and how the beats are counted. The design is our own.

Public: tab_rows, tab_height, room_below, bar_lines.
"""

from collections.abc import Iterator, Sequence, Set
from itertools import pairwise

from tune.time import Metre
from undersong.sheet.engraved.look import Look
from undersong.sheet.engraved.picture import BarPlace, Picture
from undersong.sheet.engraved.places import Places, places_of
from undersong.sheet.engraved.score import Figure, Hit, Score, ScoreBar, count_words
from undersong.sheet.lettering import number, rule, width, words

_AIR = 0.45
"""mm between a number and what stands beside it."""

_COUNT_AIR = 0.45
"""Between two counts, in their own height: about the width of a figure."""


def tab_height(score: Score, look: Look) -> float:
    """From the top line to the lowest."""
    return look.gap * (len(score.courses) - 1)


def room_below(score: Score, look: Look) -> float:
    """What strokes and counts take below the lowest line."""
    strokes = 0.0 if score.bass_part else look.small * 1.15
    return look.figure * 0.55 + strokes + look.small * 1.25


def tab_rows(score: Score, picture: Picture, top: float, look: Look) -> Iterator[str]:
    """Everything of the tab; top: y of the top line."""
    ys = {course: top + look.gap * at for at, course in enumerate(score.courses)}
    left, right = picture.bars[0].left, picture.bars[-1].right
    for y in ys.values():
        yield rule(left, y, right, y, look.line, ink=look.soft)
    for at, place in enumerate(picture.bars):
        places = places_of(score, picture, place, first=at == 0)
        bar = score.bars[place.index]
        for course, y in ys.items():
            yield from _rings(bar, places, course, y, look)
        for hit in bar.hits:
            for figure in hit.figures:
                yield from _figure(score, figure, places.x(hit.tick), ys[figure.course], look)
        yield from _right_hand(score, bar, places, top + tab_height(score, look), look)


def _rings(bar: ScoreBar, places: Places, course: int, y: float, look: Look) -> Iterator[str]:
    """The thick parts of a string's line."""
    begin: float | None = places.start if bar.entering[course] else None
    for hit in bar.hits:
        x = places.x(hit.tick)
        figure = next((f for f in hit.figures if f.course == course), None)
        if begin is not None and (figure is not None or not hit.sounding[course]):
            end = x - (_half(figure, look) + _AIR if figure else 0.0)
            yield from _ring(begin, end, y, look, ends=figure is None and hit.ends[course])
            begin = None
        if hit.sounding[course] and figure is not None:
            begin = x + _half(figure, look) + _letter(figure, look) + _AIR
        elif hit.sounding[course] and begin is None:
            begin = x
    if begin is not None:
        yield from _ring(begin, places.knots[-1][1], y, look, ends=False)


def _ring(begin: float, end: float, y: float, look: Look, ends: bool) -> Iterator[str]:
    if end - begin > 0.3:
        yield rule(begin, y, end, y, look.ring, ink=look.sound)
    if ends:
        yield rule(
            end, y - look.gap * 0.22, end, y + look.gap * 0.22, look.ring * 0.8, ink=look.sound
        )


def _half(figure: Figure, look: Look) -> float:
    return width(figure.label, look.figure, bold=True) / 2


def _letter(figure: Figure, look: Look) -> float:
    return width(figure.letter, look.letter, bold=True) + _AIR * 0.6 if figure.letter else 0.0


def _figure(score: Score, figure: Figure, x: float, y: float, look: Look) -> Iterator[str]:
    """The number in the middle, the finger's letter behind it, the line left white under both."""
    half, letter = _half(figure, look), _letter(figure, look)
    high = look.figure * 0.72
    yield (
        f'<rect x="{number(x - half - _AIR * 0.7)}" y="{number(y - high / 2)}" '
        f'width="{number(2 * half + letter + _AIR * 1.4)}" height="{number(high)}" fill="#fff"/>'
    )
    plays_melody = score.arrangement.style.texture in ("solo", "drone")
    bold = figure.melody or not plays_melody
    yield _classed(
        words(x, y + look.figure * 0.36, figure.label, look.figure, bold=bold, anchor="middle"),
        "fret",
    )
    if figure.letter:
        yield _classed(
            words(
                x + half + _AIR * 0.6, y + look.figure * 0.36, figure.letter, look.letter,
                bold=True, fill=look.accent,
            ),
            "finger",
        )  # fmt: skip
    if figure.damped:
        above = score.courses[0] == 0
        tip = y - high * 0.66 if above else y + high * 0.66
        away = tip - 1.3 if above else tip + 1.3
        yield (
            f'<path class="damped" d="M{number(x - 0.85)} {number(away)}H{number(x + 0.85)}'
            f'L{number(x)} {number(tip)}Z" fill="#000"/>'
        )


def _classed(drawn: str, kind: str) -> str:
    return drawn.replace("<text ", f'<text class="{kind}" ', 1)


def _right_hand(
    score: Score, bar: ScoreBar, places: Places, bottom: float, look: Look
) -> Iterator[str]:
    """Strokes, and under them the counts."""
    base = bottom + look.figure * 0.55
    if not score.bass_part:
        for hit in bar.hits:
            yield from _stroke(hit, places.x(hit.tick), base, look)
        base += look.small * 1.15
    struck = {hit.tick for hit in bar.hits if hit.figures}
    for tick, told, x in _counts(bar, struck, places, look):
        fill = "#000" if tick in struck else look.soft
        yield _classed(
            words(x, base + look.small * 0.95, told, look.small, anchor="middle", fill=fill,
                  bold=tick in struck),
            "count",
        )  # fmt: skip


def _counts(
    bar: ScoreBar, struck: Set[int], places: Places, look: Look
) -> Iterator[tuple[int, str, float]]:
    """Where the bar is counted, with what and at which x. Where there is no room for every count
    the silent ones are thinned evenly, so that none is missed out of its row; of struck ones that
    touch the first stays."""
    metre, lead = bar.bar.metre, bar.sheet.lead

    def counted(ticks: Set[int]) -> list[tuple[int, str, float]]:
        told = ((tick, count_words(tick + lead, metre)) for tick in sorted(ticks))
        return [(tick, words, places.x(tick)) for tick, words in told if words]

    silent = (evenly - struck for evenly in _thinned(metre, lead, bar.bar.length))
    row = next(
        row for row in (counted(struck | also) for also in silent) if _has_room(row, struck, look)
    )
    clear = float("-inf")
    for tick, told, x in row:
        half = width(told, look.small, bold=tick in struck) / 2
        if x - half >= clear:
            yield tick, told, x
            clear = x + half + 0.5


def _thinned(metre: Metre, lead: int, length: int) -> Iterator[set[int]]:
    """Ticks of the bar to be counted, evenly: all, the felt beats, every other of four, none."""
    steps = [metre.beat // 3] if metre.compound else []
    steps += [metre.beat] + [2 * metre.beat] * (metre.felt_beats == 4)
    for step in steps:
        yield {tick - lead for tick in range(0, lead + length, step) if tick >= lead}
    yield set()


def _has_room(row: Sequence[tuple[int, str, float]], struck: Set[int], look: Look) -> bool:
    """Whether every silent count stands clear of its neighbours, and so is read by itself."""
    for (tick, told, x), (after, next_told, next_x) in pairwise(row):
        wide = width(told, look.small, bold=tick in struck)
        wide += width(next_told, look.small, bold=after in struck)
        if not {tick, after} <= struck and next_x - x - wide / 2 < _COUNT_AIR * look.small:
            return False
    return True


def _stroke(hit: Hit, x: float, y: float, look: Look) -> Iterator[str]:
    """A dot for the bass string, an upright stroke for the others, both for both."""
    if not hit.figures:
        return
    bass = any(figure.course == 0 for figure in hit.figures)
    others = any(figure.course > 0 for figure in hit.figures)
    high = look.small * 0.95
    aside = 0.55 if bass and others else 0.0
    if bass:
        yield (
            f'<circle class="stroke" cx="{number(x - aside)}" cy="{number(y + high * 0.62)}" '
            f'r="0.62" fill="#000"/>'
        )
    if others:
        yield rule(x + aside, y + 0.1, x + aside, y + high, 0.4)


def bar_lines(
    places: Sequence[BarPlace], top: float, bottom: float, dots: Sequence[float]
) -> Iterator[str]:
    """Bar lines between two heights; dots: the heights of a repeat sign's."""
    for place in places:
        for x, thick in place.lines:
            yield rule(x, top, x, bottom, max(thick, 0.2))
        for x in place.dots:
            for y in dots:
                yield f'<circle cx="{number(x + 0.35)}" cy="{number(y)}" r="0.42" fill="#000"/>'
