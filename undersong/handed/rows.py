"""Where in a text lines of numbers stand, and what stands around them.

A line of numbers has nothing in it but numbers, dashes, dots, bar lines and a few signs, after the
string's name if there is one; as many as there are strings stand under one another. Right above
them may stand a row of beats (``1 . 2 .``), beneath them a row of fingers each. Titles, words and
chord names around them are passed over.

Public: System, Row, SIGN, cleaned, named, of_one_name, refuse_endless, row_of, systems_in,
numbered_lines.
"""

import re
from dataclasses import dataclass
from itertools import groupby, pairwise

from tune.errors import Place
from undersong.handed.row_names import NAMES, plain
from undersong.handed.tab import TabError

_PLAIN = str.maketrans(
    {
        **dict.fromkeys("–—−‐‑‒―─━┄╌", "-"),
        **dict.fromkeys("│┃║¦｜", "|"),
        **dict.fromkeys("·•∙", "."),
        "½": "½", "\u00a0": " ", "\u2007": " ", "\u202f": " ", "\ufeff": " ", "\u200b": " ",
        "’": "'", "♯": "#", "♭": "b",
    }
)  # fmt: skip

_QUOTED = re.compile(r"\s*(?:>\s?)+")
_NAME = re.compile(
    rf"\s*(?:(?:[A-Ga-g][#b]?\d?|{'|'.join(NAMES)})(?: string)?(?=[\s|:.\-]|$)\s*:?)?",
    re.IGNORECASE,
)
SIGN = r"[0-9xX+½.\-_=~|:()*'/\\^<>hHpP\[\]\s]"
"""A sign of a line of numbers, as an expression."""

_SIGNS = re.compile(f"{SIGN}*")
_FILLED = re.compile(r"[-_=~.]{3}")
_DRAWN = re.compile(r"(?<!\S)-+\d|\d[+½]?-+(?!\S)|--+\d|\d[+½]?--+")
"""A number on a line of dashes, as no shape such as 3-1-0 has it."""
_FINGERS = re.compile(r"[TIMRPN\s]*")
_BEATS = re.compile(r"[0-9.,+&ea\s|]+")
_BEAT = re.compile(r"\d+|[.,+&ea]")
_ENDLESS = re.compile(r"[0-9]{21,}")


@dataclass(frozen=True)
class Row:
    """A line of numbers; line: of the text, from 1; name: the string's, as it is written; text:
    the whole line, its name blanked out."""

    line: int
    name: str
    text: str


@dataclass(frozen=True)
class System:
    """Lines of numbers that stand together, in the text's order; beats: the row above, empty
    without; fingers: a row each, none without; above: the lines between here and the last blank
    one, from the top."""

    rows: tuple[Row, ...]
    beats: str = ""
    fingers: tuple[str, ...] = ()
    above: tuple[str, ...] = ()

    @property
    def first(self) -> Row:
        return self.rows[0]


def cleaned(text: str) -> list[str]:
    """The text's lines in plain signs, every sign in its column; marks of quoting left out."""
    lines = []
    for line in text.splitlines():
        plain = line.expandtabs(8).translate(_PLAIN)
        quoted = _QUOTED.match(plain)
        if quoted and ">" in quoted.group():
            plain = " " * quoted.end() + plain[quoted.end() :]
        lines.append(plain.rstrip())
    return lines


def refuse_endless(lines: list[str], file: str) -> None:
    """Nothing, where every number can be counted with; TabError for the first that has more digits
    than any fret, beat, bar or count of times."""
    for number, line in enumerate(lines, 1):
        match = _ENDLESS.search(line)
        if match:
            raise TabError(
                f"a number of {len(match.group())} digits is no fret, beat or count of times; mend "
                "it, or take it out",
                Place(file, number, match.start() + 1),
            )


def named(line: str) -> int:
    """Where the row's name ends, 0 without."""
    name = _NAME.match(line)
    assert name is not None, "a name may be empty"
    return name.end()


def row_of(line: str, number: int, short: bool = False) -> Row | None:
    """The line as one of numbers; None where it is none. short: one without bar lines need not have
    three dashes in a row, where others stand by it."""
    start = named(line)
    body = line[start:]
    if not _SIGNS.fullmatch(body) or not re.search(r"[0-9xX\-_=~]|\.{3}", body):
        return None
    if "|" not in body and not _FILLED.search(body) and not (short and _DRAWN.search(body)):
        return None
    return Row(number, line[:start].strip().rstrip(":").strip(), " " * start + body)


def of_one_name(lines: list[str]) -> bool:
    """Whether all rows that say something have one name, and are therefore lines of one string:
    they are called bass, or none is right under another."""
    found = [row_of(line, number) for number, line in enumerate(lines, 1)]
    rows = [row for row in found if row is not None and re.search(r"[0-9xX|]", row.text)]
    names = {plain(row.name) for row in rows}
    if len(names) != 1 or "" in names:
        return False
    bass = names.pop().casefold() == "bass"
    return bass or all(after.line - row.line > 1 for row, after in pairwise(rows))


def numbered_lines(lines: list[str]) -> list[tuple[int, str]]:
    """(number from 1, line) of every line that is not blank."""
    return [(number, line) for number, line in enumerate(lines, 1) if line.strip()]


def systems_in(lines: list[str], courses: int, file: str) -> list[System]:
    """Every system, from the top; TabError where other numbers of lines stand together than there
    are strings. Where no lines stand together at all, blank ones between them are passed over."""
    found = _systems(list(enumerate(lines, 1)), courses, file)
    if not found:
        found = _systems(numbered_lines(lines), courses, file)
    return found or _systems(list(enumerate(lines, 1)), courses, file, strict=True)


def _systems(
    lines: list[tuple[int, str]], courses: int, file: str, strict: bool = False
) -> list[System]:
    systems: list[System] = []
    rows = _rows(lines, courses)
    stray: Row | None = None
    at = 0
    while at < len(rows):
        if rows[at] is None:
            at += 1
            continue
        end = at
        while end < len(rows) and rows[end] is not None:
            end += 1
        run = [row for row in rows[at:end] if row is not None]
        if len(run) % courses == 0:
            for start in range(at, end, courses):
                systems.append(_around(lines, rows, start, courses))
        elif stray is None and any(re.search(r"\d", row.text) for row in run):
            stray = run[0]
            many = len(run)
        at = end
    if stray is not None and (systems or strict):
        stand, other = "1 line of numbers stands alone", "for a bass part write --texture bass"
        if many != 1:
            stand = f"{many} lines of numbers stand together"
            other = "name the instrument that it is for with --instrument"
        raise TabError(
            f"{stand} here, and the instrument has {courses} strings; write {courses} lines under "
            f"one another, a blank line after them, or {other}",
            Place(file, stray.line),
        )
    return systems


def _rows(lines: list[tuple[int, str]], courses: int) -> list[Row | None]:
    """For every line the row that it is: those that are short too, where with them as many stand
    together as there are strings."""
    sure = [row_of(line, number) for number, line in lines]
    rows = [row_of(line, number, short=True) for number, line in lines]
    for is_row, group in groupby(range(len(rows)), key=lambda at: rows[at] is not None):
        run = list(group)
        beside = courses > 1 or any(sure[at] for at in run)
        if is_row and not (beside and len(run) % courses == 0):
            for at in run:
                rows[at] = sure[at]
    return rows


def _around(
    lines: list[tuple[int, str]], rows: list[Row | None], start: int, courses: int
) -> System:
    """The system that begins at that line."""
    own = tuple(row for row in rows[start : start + courses] if row is not None)
    above: list[str] = []
    back = start - 1
    while back >= 0 and lines[back][1].strip() and rows[back] is None and len(above) < 6:
        above.insert(0, lines[back][1])
        back -= 1
    beats = above.pop() if above and _are_beats(above[-1]) else ""
    below = [line for _, line in lines[start + courses : start + 2 * courses]]
    return System(own, beats, _fingers(below, own), tuple(above))


def _are_beats(line: str) -> bool:
    """Whether a row counts beats: not bar numbers, which stand alone and grow."""
    if not _BEATS.fullmatch(line) or not re.search(r"\d", line):
        return False
    signs = _BEAT.findall(line)
    numbers = [int(sign) for sign in signs if sign.isdigit()]
    if max(numbers) > 32:
        return False
    return (
        len(numbers) < len(signs)
        or (numbers[0] == 1 and numbers.count(1) > 1)
        or (numbers[:3] == [1, 2, 3] and len(numbers) >= 3)
    )


def _fingers(below: list[str], rows: tuple[Row, ...]) -> tuple[str, ...]:
    """The rows of fingers, their names blanked out; none where they are none."""
    if len(below) < len(rows):
        return ()
    found = []
    for line, row in zip(below, rows, strict=True):
        body = line
        if row.name and line.strip().startswith(row.name):
            cut = line.index(row.name) + len(row.name)
            body = " " * cut + line[cut:]
        elif row.name and line.strip():
            return ()
        if not _FINGERS.fullmatch(body):
            return ()
        found.append(body)
    return tuple(found) if any(body.strip() for body in found) or rows[0].name else ()
