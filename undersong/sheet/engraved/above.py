"""What stands above a line's staff: sections, bar numbers, endings, changes, chord symbols.

Public: Above, rows_above.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from undersong.sheet.engraved.look import Look
from undersong.sheet.engraved.picture import Picture
from undersong.sheet.engraved.places import places_of
from undersong.sheet.engraved.score import Score
from undersong.sheet.engraved.signs import signed, signed_width, symbol
from undersong.sheet.lettering import number, width, words
from undersong.sheet.text_bar import tempo_words
from undersong.sheet.text_signs import ordinal, plain

_CHORD_AIR = 1.2


@dataclass(frozen=True)
class Above:
    """drawn: SVG from y = 0 down; height: mm."""

    drawn: tuple[str, ...]
    height: float


def rows_above(score: Score, picture: Picture, look: Look) -> Above:
    """The rows that the line needs, and no others."""
    drawn: list[str] = []
    y = 0.0
    headings = [(place, heading_words(score, place.index)) for place in picture.bars]
    if any(words for _, words in headings):
        clear = float("-inf")
        for place, told in headings:
            if not told:
                continue
            x = max(place.left, clear)
            drawn.append(
                signed(x, y + look.section * 0.85, told, look.section, bold=True,
                       fill=look.accent, kind="section")
            )  # fmt: skip
            clear = x + signed_width(told, look.section, bold=True) + 3
        y += look.section * 1.25
    endings = list(_endings(score, picture, look))
    tall = look.small * (1.55 if endings else 1.25)
    for place in picture.bars:
        bar = score.bars[place.index].bar
        if bar.number:
            drawn.append(
                words(place.left + 0.9, y + tall - 0.6, str(bar.number), look.small, fill=look.soft)
                .replace("<text ", '<text class="number" ', 1)
            )  # fmt: skip
    for ending in endings:
        drawn += _bracket(ending, y, tall, look)
    for place in picture.bars:
        sheet = score.bars[place.index].sheet
        if sheet.closes and sheet.times > 2 and not score.bars[place.index].bar.endings:
            told = f"{sheet.times} times in all"
            drawn.append(words(place.right - 0.8, y + tall - 0.6, told, look.small, anchor="end"))
    y += tall
    chords = list(_chords(score, picture, y, look))
    return Above((*drawn, *chords), y + (look.chord * 1.2 if chords else 0.6))


def heading_words(score: Score, index: int) -> str:
    """The section's name and time through, and what changes with the bar."""
    bar, sheet = score.bars[index].bar, score.bars[index].sheet
    before = score.bars[index - 1].bar if index else None
    told = [plain(bar.section, unicode=True)]
    told += [f"{ordinal(sheet.turn)} time"] if sheet.turn else []
    if before is not None:
        told += [str(bar.metre)] if before.metre != bar.metre else []
        told += [_signed(str(bar.key))] if before.key != bar.key else []
        told += [tempo_words(bar.tempo)] if bar.tempo else []
    return ", ".join(word for word in told if word)


def _signed(key: str) -> str:
    tonic, _, mode = key.partition(" ")
    return f"{tonic.replace('#', '♯').replace('b', '♭')} {mode}"


@dataclass(frozen=True)
class _Ending:
    """left, right: x of the bracket; times: that it is for, empty where it goes on from the line
    before; aside: x of its words; closed: it ends here."""

    left: float
    right: float
    times: tuple[int, ...]
    aside: float
    closed: bool


def _endings(score: Score, picture: Picture, look: Look) -> Iterator[_Ending]:
    """Each ending's bracket on the line."""
    left: float | None = None
    times: tuple[int, ...] = ()
    aside = 0.0
    for at, place in enumerate(picture.bars):
        bar = score.bars[place.index]
        if bar.sheet.endings:
            left, times = place.left, bar.sheet.endings
            number_wide = width(str(bar.bar.number), look.small) if bar.bar.number else 0.0
            aside = place.left + 0.9 + number_wide + 1.2
        elif at == 0 and _goes_on(score, place.index):
            left, times = place.left, ()
        if left is None:
            continue
        following = score.bars[place.index + 1] if place.index + 1 < len(score.bars) else None
        closed = (
            following is None
            or bar.sheet.closes
            or bool(following.sheet.endings)
            or following.bar.endings != bar.bar.endings
        )
        if closed or at + 1 == len(picture.bars):
            yield _Ending(left, place.right, times, aside, closed)
            left = None


def _goes_on(score: Score, index: int) -> bool:
    """Whether the bar is inside an ending that began on a line before (and is folded)."""
    bar = score.bars[index]
    if not bar.bar.endings or bar.sheet.endings or bar.sheet.turn:
        return False
    at = index
    while at > 0 and score.bars[at].bar.endings == bar.bar.endings:
        if score.bars[at].sheet.endings:
            return True
        at -= 1
    return False


def _bracket(ending: _Ending, y: float, tall: float, look: Look) -> Iterator[str]:
    """A roof over the ending, with its times in words, or in figures where it is narrow."""
    top, low = number(y + 0.15), number(y + tall)
    start = f"M{number(ending.left + 0.3)} {low}V{top}" if ending.times else (
        f"M{number(ending.left)} {top}"
    )  # fmt: skip
    end = f"V{low}" if ending.closed else ""
    yield (
        f'<path d="{start}H{number(ending.right - 0.5)}{end}" fill="none" stroke="#000" '
        'stroke-width="0.2"/>'
    )
    if not ending.times:
        return
    told = " & ".join(ordinal(time) for time in ending.times) + " time"
    if ending.aside + width(told, look.small, bold=True) > ending.right - 1:
        told = ", ".join(str(time) for time in ending.times) + "."
    yield words(ending.aside, y + tall - 0.6, told, look.small, bold=True)


def _chords(score: Score, picture: Picture, y: float, look: Look) -> Iterator[str]:
    """Chord symbols, each over the place where it begins, or as near as leaves its neighbours and
    the margin their room."""
    found: list[tuple[float, str]] = []
    for at, place in enumerate(picture.bars):
        ticks = places_of(score, picture, place, first=at == 0)
        for tick, chord in score.chords(place.index):
            told = symbol(chord)
            found.append((ticks.x(tick) - width(told[0], look.chord, bold=True) / 2, told))
    size = look.chord
    room = picture.bars[-1].right - picture.bars[0].left
    needed = sum(signed_width(told, size, bold=True) + _CHORD_AIR for _, told in found)
    size *= min(1.0, room / needed) if needed else 1.0
    wide = [signed_width(told, size, bold=True) for _, told in found]
    xs = [x for x, _ in found]
    for at in range(1, len(xs)):
        xs[at] = max(xs[at], xs[at - 1] + wide[at - 1] + _CHORD_AIR)
    limit = picture.bars[-1].right
    for at in range(len(xs) - 1, -1, -1):
        xs[at] = min(xs[at], limit - wide[at])
        limit = xs[at] - _CHORD_AIR
    base = y + look.chord * 0.9
    for x, (_, told) in zip(xs, found, strict=True):
        yield signed(x, base, told, size, bold=True, kind="chord")
