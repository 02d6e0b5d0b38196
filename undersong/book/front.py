"""The first pages of a book: its title page, and how its pages are read.

Public: title_page, reading_of, READING.
"""

from collections.abc import Iterator, Sequence

from fretboard.hand import CAUTION, FINGERS, NOTER
from undersong.book.columns import Row, Section, page_svg
from undersong.book.entry import Entry, Part
from undersong.book.lines import text_rows
from undersong.book.look import Look
from undersong.book.words import shown, tuning_words
from undersong.sheet.engraved.signs import signed
from undersong.sheet.lettering import POINT, rule, words, wrapped
from undersong.sheet.page_options import PageOptions
from undersong.sheet.paper import SANS, SERIF
from undersong.sheet.text_signs import FINGER_WORDS
from undersong.wording import listed, many

READING = "How the pages are read"

_TITLE_SIZES = (34.0, 28.0, 23.0, 18.0, 14.0)
"""Points, to be tried in turn."""

_TITLE_LINES = 5
_MOST_TUNINGS = 4


def title_page(entries: Sequence[Entry], title: str, look: Look) -> str:
    """The book's title, what is in it, and by what it was made."""
    left, room = look.paper.margin_mm, look.room
    size, lines = _fitting(shown(title) or "?", room * 0.86, look)
    y = look.paper.height_mm * 0.3 - 0.5 * size * len(lines)
    y = max(y, look.paper.margin_mm + size)
    middle = left + room / 2
    drawn = []
    for line in lines:
        y += size * 1.12
        drawn.append(
            signed(middle, y, line, size, bold=True, anchor="middle", kind="title").replace(
                SANS, SERIF
            )
        )
    y += size * 0.55
    drawn.append(rule(middle - room * 0.2, y, middle + room * 0.2, y, 0.5, ink=look.accent))
    text = 12 * POINT * look.k
    y += text * 0.8
    for told in _told(entries):
        y += text * 0.35
        for line in wrapped(told, room * 0.8, text):
            y += text * 1.35
            drawn.append(signed(middle, y, line, text, anchor="middle"))
    base = look.paper.height_mm - look.paper.margin_mm
    drawn.append(
        words(middle, base, "Arranged with Undersong", look.foot, anchor="middle", fill=look.soft)
    )
    return page_svg(look.paper, drawn)


def _fitting(title: str, room: float, look: Look) -> tuple[float, list[str]]:
    """The largest type in which the title has few lines, and those."""
    for points in _TITLE_SIZES:
        size = points * POINT * look.k
        lines = wrapped(title, room, size, bold=True)
        whole = {word for line in lines for word in line.split()} >= set(title.split())
        if len(lines) <= _TITLE_LINES and (whole or points == _TITLE_SIZES[-1]):
            break
    most = int(0.4 * look.paper.height_mm / size)
    if len(lines) > most:
        lines = [*lines[: most - 1], f"{lines[most - 1]}…"]
    return size, lines


def _told(entries: Sequence[Entry]) -> Iterator[str]:
    """How many tunes, in what versions, in what tunings, how good."""
    parts = [part for entry in entries for part in entry.parts if entry.pages]
    tunes = sum(bool(entry.pages) for entry in entries)
    if not parts:
        yield "No tune could be made."
        return
    yield f"{many(tunes, 'tune')} for the fretted dulcimer"
    textures = list(dict.fromkeys(part.texture for part in parts))
    told = listed(textures)
    levels = sorted({part.level for part in parts if part.level is not None})
    if len(levels) > 1:
        told += f", levels {listed([str(level) for level in levels])}"
    elif levels:
        told += f", level {levels[0]}"
    if len(parts) > tunes:
        told += f": {many(len(parts), 'version')}"
    yield f"{told[:1].upper()}{told[1:]}"
    yield _tunings(parts)


def _tunings(parts: Sequence[Part]) -> str:
    found = list(dict.fromkeys(tuning_words(part.tuning, part.capo) for part in parts))
    if len(found) > _MOST_TUNINGS:
        return f"In {len(found)} tunings"
    return f"Tuning{'s' * (len(found) > 1)} {'; '.join(found)}"


def reading_of(entries: Sequence[Entry], options: PageOptions, look: Look) -> Section:
    """The caution, and what the signs and figures mean that no page says for itself."""
    parts = [part for entry in entries for part in entry.parts]
    rows: list[Row] = list(text_rows(CAUTION, look, bold=True, gap=1.5 * look.k))
    for name, sentences in _explained(parts, options):
        rows += text_rows(name, look, size=11 * POINT * look.k, bold=True, gap=4 * look.k,
                          joined=True)  # fmt: skip
        for sentence in sentences:
            rows += text_rows(sentence, look, gap=0.9 * look.k)
    return Section(READING, tuple(rows), fresh=True)


def _explained(
    parts: Sequence[Part], options: PageOptions
) -> Iterator[tuple[str, tuple[str, ...]]]:
    if options.parts != "staff":
        yield "The strings", tuple(_strings(options))
        yield "The hands", tuple(_hands(parts))
    if options.parts != "tab":
        yield (
            "The notes",
            (
                "They sound as written. A note head in parentheses is not struck: it rings on from "
                "the bar played before, over a repeat sign or from an ending.",
            ),
        )
    yield "How good and how hard", tuple(_figures(parts))


def _strings(options: PageOptions) -> Iterator[str]:
    top, low = ("bass", "melody") if options.bass_on_top else ("melody", "bass")
    if options.bass_part:
        yield "The line is the bass string, the chords stand above it."
    else:
        yield f"Each line is a string: the {top} string is the top line, the {low} string the last."
    start = "the capo" if options.from_capo else "the nut"
    yield (
        f"A number is the fret where the string is struck, counted from {start}; the line is thick "
        "while it sounds; an upright tick ends a string that is let go, or hushed by a touch if "
        "open; a black wedge: damped with the palm of the right hand."
    )
    yield "Where a melody is played on the strings, its numbers are bold."


def _hands(parts: Sequence[Part]) -> Iterator[str]:
    noter = parts and all(_letters(part) <= {NOTER} for part in parts if part.first_shape)
    letters = ", ".join(
        f"{letter} {word}" for letter, word in zip(FINGERS, FINGER_WORDS, strict=True)
    )
    if noter and any(NOTER in _letters(part) for part in parts):
        letters = f"{NOTER} noter"
    yield f"The letter behind a number: {letters}; no letter: the string is open."
    yield (
        "Below the strings, the right hand: a dot for the bass string, an upright stroke for the "
        "others; under them the counts, bold where a string is struck."
    )


def _letters(part: Part) -> set[str]:
    return set(part.first_shape.partition(" ")[2])


def _figures(parts: Sequence[Part]) -> Iterator[str]:
    yield (
        "Hand work is what all moves and reaches of a tune ask of the hand, and what the music "
        "would rather have otherwise, in milliseconds: of two ways to play the same version the "
        "one with less is the better; how hard a version is says its percent. Proven best: with "
        "this instrument, hand and style no way to play the version has less."
    )
    unproven = sum(not part.proven for part in parts)
    if unproven:
        yield (
            f"{many(unproven, 'version')} of {len(parts)}: not proven to be the best, as the time "
            "was up; the page says how near it is."
        )
    yield (
        "Percent: what the hardest moment of a bar asks of this hand: the share of the time that "
        "the move needs or of the hand's greatest stretch, and a little for a shift, a finger laid "
        "across strings and each finger put down."
    )
    levels = {part.level for part in parts if part.level is not None}
    if len(levels) > 1:
        yield "No bar of an easier level is harder than the same bar of the next."
