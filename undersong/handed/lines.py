"""Reader of lines of numbers, our own page among them.

Bar lines cut the lines into bars; numbers that stand in one column, or share one, are struck
together. A row of beats above makes it exact where in the bar they stand; without one the columns
tell (``undersong.handed.placing``). On our own page dashes say that a string sounds on, dots that
it is silent, and a bracket that it is let go; where there are no dots, dashes are only drawing.

Public: read_lines.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from fretboard.errors import FretboardError
from fretboard.hand import FINGERS, NOTER
from tune.errors import Place
from undersong.handed.numbers import NUMBER, Numbering, read_number
from undersong.handed.row_names import way_up
from undersong.handed.rows import Row, System
from undersong.handed.tab import LINES, PAGE, Beat, Column, OddRow, Sign, Tab, TabBar, TabError
from undersong.handed.widths import Stands, stands

_SIGN = re.compile(rf"({NUMBER.pattern})(\*?)|([xX])|(\))")
_EMPTY = re.compile(r"[\s:\[\]]*")
_TIMES_AFTER = re.compile(r"\|\s*[(]?[xX]\s*(\d)[)]?\s*$|\|\s*[(]?(\d)\s*[xX][)]?\s*$")
_ENDING = re.compile(r"\(([0-9a-z+]+) time\)")
_IN_ALL = re.compile(r"\((\d+) times in all\)")
_PARTS = {"+": Fraction(1, 2), "&": Fraction(1, 2), "e": Fraction(1, 4), "a": Fraction(3, 4)}


@dataclass(frozen=True)
class _Cell:
    """One bar of one line: where it begins in it, and what stands there; left, right: whether a
    bar line is there."""

    start: int
    text: str
    left: bool
    right: bool


@dataclass(frozen=True)
class _Found:
    """A sign of one string, before columns are made of them; end: one past it."""

    start: int
    end: int
    course: int
    sign: Sign | None


def read_lines(
    systems: Sequence[System],
    numbering: Numbering,
    melody_on_top: bool,
    tuning: Sequence[str],
    file: str,
    by_names: bool = True,
) -> Tab:
    """The tab in those systems; melody_on_top: where the strings' names do not say it, or are not
    asked (``by_names``); tuning: the instrument's open notes with octaves, bass first. Raises
    TabError."""
    page = all(system.beats for system in systems)
    signs = "".join(row.text for system in systems for row in system.rows)
    drawn = page and ("..." in signs or ")" in signs) and all(s.fingers for s in systems)
    bars: list[TabBar] = []
    widths: list[int] = []
    going = False
    first = [row.name for row in systems[0].rows]
    said = way_up(first, tuning) if by_names else None
    for system in systems:
        own = way_up([row.name for row in system.rows], tuning) if by_names else None
        known = said if own is None else own
        flipped = melody_on_top if known is None else known
        rows = _cells(system, file)
        for number, cells in enumerate(zip(*rows, strict=True)):
            found = stands(cells, rows)
            bar = _bar(system, cells, found, len(tuning), numbering, flipped, page, drawn, file)
            if number == 0 and going and not cells[0].left and bars:
                bars[-1] = _joined(bars[-1], bar)
            else:
                bars.append(replace(bar, number=len(bars)))
                widths.append(_inside(cells, found.like)[1])
            going = page and not cells[0].right
    made = bars if page else _from_first_numbers(bars, widths)
    return Tab(
        PAGE if page else LINES,
        tuple(made),
        file=file,
        numbering=numbering,
        turned=melody_on_top if said is None else said,
        names=tuple(first) if all(first) else (),
        named=said is not None,
    )


def _cells(system: System, file: str) -> list[list[_Cell]]:
    """The bars of every line of the system, as many of each."""
    by_row = [list(_cut(row)) for row in system.rows]
    counts = [len(cells) for cells in by_row]
    for row, count in zip(system.rows, counts, strict=True):
        if count != counts[0]:
            raise TabError(
                f"this line has {count} bar{'s' * (count != 1)} and the first of its system "
                f"{counts[0]}; write the bar lines under one another",
                Place(file, row.line),
            )
    return by_row


def _cut(row: Row) -> Iterator[_Cell]:
    """The line's bars, what is empty between two bar lines left out."""
    text = row.text
    times = _TIMES_AFTER.search(text)
    if times:
        text = text[: times.start() + 1]
    start = len(text) - len(text.lstrip())
    edges = [at for at, sign in enumerate(text) if sign == "|"]
    for left, right in zip([start - 1, *edges], [*edges, len(text)], strict=True):
        inside = text[left + 1 : right]
        stub = left not in edges and not re.search(r"\d", inside) and len(inside.strip()) < 3
        if _EMPTY.fullmatch(inside) or stub:
            continue
        yield _Cell(left + 1, inside, left in edges, right in edges)


def _bar(
    system: System,
    cells: tuple[_Cell, ...],
    stand: Stands,
    courses: int,
    numbering: Numbering,
    flipped: bool,
    page: bool,
    drawn: bool,
    file: str,
) -> TabBar:
    order = list(range(len(cells)))  # a single line is the bass string's
    if flipped and len(cells) == courses:
        order.reverse()
    found: list[_Found] = []
    for at, cell in enumerate(cells):
        line = system.rows[at].line
        row = system.fingers[at] if system.fingers else ""
        found += _signs(cell, line, order[at], stand.moves[at], row, numbering, drawn, file)
    opens = any(cell.text.strip().startswith(":") for cell in cells)
    closes = any(cell.text.rstrip().endswith(":") for cell in cells)
    start, first = cells[stand.like].start, system.rows[stand.like]
    width = max(len(cell.text) for cell in cells)
    marks = _marks(system.beats, start, start + width) if page else {}
    groups = _together(found)
    places = _at_marks({min(one.start for one in group): group for group in groups}, marks)
    begin, wide = _inside(cells, stand.like)
    columns = []
    for place in sorted({*marks, *places}):
        group = places.get(place, [])
        strings: list[Sign | None] = [None] * courses
        let_go = [False] * courses
        for one in group:
            strings[one.course] = one.sign
            let_go[one.course] = one.sign is None
        sounds: list[bool | None] = [None] * courses
        if drawn:
            for at, cell in enumerate(cells):
                sounds[order[at]] = _sounds(cell, place - stand.moves[at](0))
        columns.append(
            Column(
                tuple(strings), first.line, place + 1, Fraction(place - begin, wide),
                marks.get(place), tuple(sounds), tuple(let_go),
            )
        )  # fmt: skip
    numbers = _over(system.above, start, start + width)
    times = _IN_ALL.search(numbers)
    after = _TIMES_AFTER.search(system.first.text) if closes else None
    many = int(times.group(1)) if times else 2
    if after:
        many = max(2, int(after.group(1) or after.group(2)))
    ending = _ENDING.search(numbers)
    return TabBar(
        0,
        system.first.line,
        tuple(columns),
        repeat_start=opens,
        repeat_times=min(many, 99) if closes else 1,
        endings=tuple(
            int(digits.group())
            for part in ending.group(1).split("+")
            if (digits := re.search(r"\d+", part))
        )
        if ending
        else (),
        odd=tuple(
            OddRow(
                order[one.row], system.rows[one.row].name, one.wider, one.how,
                system.rows[one.row].line, cells[one.row].start + 1,
            )
            for one in stand.odd
        ),
    )  # fmt: skip


def _inside(cells: Sequence[_Cell], like: int) -> tuple[int, int]:
    """Where the bar begins within its signs of repeat, and how wide it is."""
    own = cells[like]
    alone = [own] if own.right else cells
    left = any(cell.text.startswith(":") for cell in alone)
    right = any(cell.text.rstrip().endswith(":") for cell in alone)
    width = max(len(cell.text) for cell in alone) - left - right
    return own.start + left, max(width, 1)


def _signs(
    cell: _Cell,
    line: int,
    course: int,
    move: Callable[[int], int],
    fingers: str,
    numbering: Numbering,
    drawn: bool,
    file: str,
) -> Iterator[_Found]:
    for match in _SIGN.finditer(cell.text):
        at = cell.start + match.start()
        number, star, silent, let_go = match.groups()
        place = move(at)
        if let_go:
            if drawn:
                yield _Found(place, place + 1, course, None)
            continue
        if silent:
            yield _Found(place, place + 1, course, Sign(-1, silent, at + 1))
            continue
        try:
            fret = read_number(number, numbering)
        except FretboardError as error:
            raise TabError(
                f"{error}; mend the number, or write a dash between two",
                Place(file, line, at + 1),
            ) from None
        letter = fingers[max(place, 0) : max(place, 0) + len(number)].strip()[:1]
        finger = None
        if letter:
            finger = 0 if letter == NOTER else FINGERS.index(letter)
        sign = Sign(fret, number, at + 1, finger, bool(star))
        yield _Found(place, place + len(number), course, sign)


def _together(found: list[_Found]) -> list[list[_Found]]:
    """Signs whose columns meet, in order; never two of one string."""
    groups: list[list[_Found]] = []
    end = -1
    for one in sorted(found, key=lambda one: (one.start, one.course)):
        if groups and one.start < end and one.course not in {o.course for o in groups[-1]}:
            groups[-1].append(one)
            end = max(end, one.end)
        else:
            groups.append([one])
            end = one.end
    return groups


def _at_marks(places: dict[int, list[_Found]], marks: dict[int, Beat]) -> dict[int, list[_Found]]:
    """A number one column off a beat that has none of its own is meant for that beat."""
    moved: dict[int, list[_Found]] = {}
    for place, group in places.items():
        at = place
        if place not in marks:
            free = [near for near in (place - 1, place + 1) if near in marks and near not in places]
            at = next((near for near in free if near not in moved), place)
        moved[at] = group
    return moved


def _marks(beats: str, start: int, end: int) -> dict[int, Beat]:
    """Column → the beat that is named there."""
    signs = [
        (match.start(), match.group())
        for match in re.finditer(r"\d+|[.,+&ea]", beats)
        if start <= match.start() < end
    ]
    marks: dict[int, Beat] = {}
    number, group = 0, list[tuple[int, str]]()

    def close() -> None:
        parts = [sign for _, sign in group if sign != ","]
        count = 0
        for at, sign in group:
            count += sign != ","
            marks[at] = Beat(number, count, len(parts), sign == ",", _PARTS.get(sign))

    for at, sign in signs:
        if sign.isdigit():
            close()
            number, group = min(int(sign), 99), []
            marks[at] = Beat(number)
        else:
            group.append((at, sign))
    close()
    return marks


def _sounds(cell: _Cell, place: int) -> bool | None:
    """What is drawn on the line there, past a number: whether the string sounds on."""
    at = place - cell.start
    if not 0 <= at < len(cell.text):
        return None
    sign = _SIGN.match(cell.text, at)
    if sign:
        at = sign.end()
        while at < len(cell.text) and cell.text[at] in "*'":
            at += 1
    if at >= len(cell.text):
        return None
    return {"-": True, ".": False}.get(cell.text[at])


def _over(above: tuple[str, ...], start: int, end: int) -> str:
    """The words above that begin over the bar."""
    words = []
    for line in above:
        for match in re.finditer(r"\S+(?: \S+)*", line):
            if start - 1 <= match.start() < end:
                words.append(match.group())
    return "  ".join(words)


def _joined(bar: TabBar, more: TabBar) -> TabBar:
    """A bar and its part in the next line, which may go on within a beat."""
    last = next((c.beat for c in reversed(bar.columns) if c.beat is not None), Beat(0))
    columns = [
        replace(
            column,
            beat=replace(column.beat, number=last.number, signs=last.signs + column.beat.signs),
        )
        if column.beat is not None and not column.beat.number
        else column
        for column in more.columns
    ]
    return replace(
        bar,
        columns=(*bar.columns, *columns),
        repeat_times=more.repeat_times,
        odd=(*bar.odd, *more.odd),
        endings=bar.endings or more.endings,
    )


def _from_first_numbers(bars: list[TabBar], widths: list[int]) -> list[TabBar]:
    """Shares counted from where the earliest number of any bar stands: dashes before it are
    drawing, not time."""
    pairs = list(zip(bars, widths, strict=True))
    offsets = [bar.columns[0].share * width for bar, width in pairs if bar.columns]
    lead = min(offsets, default=Fraction(0))
    return [
        replace(
            bar,
            columns=tuple(
                replace(column, share=(column.share * width - lead) / (width - lead))
                for column in bar.columns
            ),
        )
        for bar, width in pairs
    ]
