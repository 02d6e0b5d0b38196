"""A reader of the text tab, for tests only: it knows the page, nothing of how it is made.

It finds the lines of bars, reads each bar by its columns, and plays the page back with its repeat
signs and endings, as a player does.
"""

import re
from dataclasses import dataclass, field
from itertools import pairwise

_SIGN = re.compile(r"(\d+\+?)(\*?)|\)")
_TIMES = re.compile(r"\((\d+) times in all\)")
_NUMBER = re.compile(r"\d+( \([^)]*\))?(?= |$)|\(\d+ times in all\)")
_CHORD = re.compile(r"(N\.C\.|[A-G]\S*)(?= |$)")
_ROLE = re.compile(r"=[^ =]+")
_ENDING = re.compile(r"\(([0-9a-z+]+) time\)")


@dataclass
class Column:
    """What stands at one column of a bar: beat as printed; chord; strings, bass first: (fret,
    finger, damped) where one is struck, ``)`` where it is let go, None; sounds: whether each
    string sounds from there on; role: the sign in the bass row."""

    beat: str
    chord: str = ""
    strings: list[tuple[str, str, bool] | str | None] = field(default_factory=list)
    sounds: list[bool] = field(default_factory=list)
    role: str = ""


@dataclass
class PageBar:
    """A bar on the page; whole: False for a part that goes on in the next line."""

    number: str
    heading: str
    columns: list[Column]
    opens: bool
    closes: bool
    whole: bool
    times: int
    endings: tuple[int, ...]


@dataclass
class Page:
    names: list[str]
    bars: list[PageBar]
    per_line: list[int]


def read_page(text: str, bass_on_top: bool = True) -> Page:
    """The page in ASCII, its strings bass first."""
    bars: list[PageBar] = []
    names: list[str] = []
    per_line: list[int] = []
    for block in text.split("\n\n"):
        rows = block.rstrip("\n").split("\n")
        if not rows[-1].startswith("bass"):
            continue
        strings = [row for row in rows if re.match(r"[A-G]#?\d( |$)", row)]
        lines, fingers = strings[: len(strings) // 2], strings[len(strings) // 2 :]
        at = rows.index(lines[0])
        assert rows[at:-1] == strings, "lines, fingers and bass row stand together"
        names = [line.split()[0] for line in lines]
        assert [row.split()[0] for row in fingers] == names
        label = re.match(r"\S+ +", lines[0]).end()  # type: ignore[union-attr]
        if not bass_on_top:
            lines, fingers, names = lines[::-1], fingers[::-1], names[::-1]
        made = _bars(rows[: at - 1], rows[at - 1], lines, fingers, rows[-1], label)
        per_line.append(len(made))
        bars += made
    return Page(names, bars, per_line)


def _bars(
    above: list[str], beats: str, lines: list[str], fingers: list[str], bass: str, label: int
) -> list[PageBar]:
    assert len({len(line) for line in lines}) == 1
    edges = [at for at, sign in enumerate(lines[0]) if sign == "|"]
    assert all([at for at, sign in enumerate(row) if sign == "|"] == edges for row in lines)
    edges = edges if edges and edges[0] == label else [label, *edges]
    edges = edges if edges[-1] == len(lines[0]) - 1 else [*edges, len(lines[0])]
    made = []
    for left, right in pairwise(edges):
        if right == left + 1:  # the double line of the end
            continue
        inside = [row[left + 1 : right] for row in lines]
        opens, closes = inside[0].startswith(":"), inside[0].endswith(":")
        assert all(row.startswith(":") == opens for row in inside)
        assert all(row.endswith(":") == closes for row in inside)
        found = [m for m in re.finditer(r"\d+|[.,]", beats) if left < m.start() < right]
        first = found[0].start()
        number = next((m.group() for row in above if (m := _NUMBER.match(row, first))), "")
        times, ending = _TIMES.search(number), _ENDING.search(number)
        made.append(
            PageBar(
                number=number.split(" ")[0],
                heading=_heading(above, first),
                columns=[_column(match, above, lines, fingers, bass) for match in found],
                opens=opens,
                closes=closes,
                whole=lines[0][right : right + 1] == "|",
                times=int(times.group(1)) if times else 2,
                endings=tuple(int(re.sub(r"\D", "", t)) for t in ending.group(1).split("+"))
                if ending
                else (),
            )
        )
    return made


def _heading(above: list[str], at: int) -> str:
    """The words of the top row that begin there, where they are no chord and no number."""
    words = re.split(r" {2,}", above[0][at:])[0] if above and above[0][at:] else ""
    return "" if _NUMBER.match(words) or _CHORD.match(words) else words


def _column(
    beat: re.Match[str], above: list[str], lines: list[str], fingers: list[str], bass: str
) -> Column:
    at = beat.start()
    found = Column(beat.group())
    if above and above[-1][at - 1 : at] == " " and (chord := _CHORD.match(above[-1], at)):
        found.chord = chord.group()
    for line, row in zip(lines, fingers, strict=True):
        sign = _SIGN.match(line, at)
        letter = row[at : at + 1].strip()
        assert not (sign and line[at - 1].isdigit()), "two numbers run into each other"
        if sign is None:
            found.strings.append(None)
        elif sign.group() == ")":
            found.strings.append(")")
        else:
            found.strings.append((sign.group(1), letter, sign.group(2) == "*"))
        assert not letter or isinstance(found.strings[-1], tuple), "a finger without a stroke"
        found.sounds.append(line[sign.end() if sign else at] == "-")
    role = _ROLE.match(bass, at)
    found.role = role.group() if role else ""
    return found


def join_parts(bars: list[PageBar]) -> list[PageBar]:
    """Bars that were printed in parts put together again."""
    whole: list[PageBar] = []
    going = False
    for bar in bars:
        if going:
            last = whole[-1]
            last.columns += bar.columns
            last.closes = bar.closes
        else:
            whole.append(bar)
        going = not bar.whole
    return whole


def play(bars: list[PageBar]) -> list[PageBar]:
    """The bars in the order that the signs of the page ask for."""
    played: list[PageBar] = []
    at = start = 0
    turn, last = 1, 1
    while at < len(bars):
        bar = bars[at]
        if bar.opens and at != start:
            start, turn, last = at, 1, 1
        if bar.opens and turn == 1:
            last = _times_of(bars, at)
        if bar.endings and turn not in bar.endings:
            at = next(n for n in range(at + 1, len(bars)) if turn in bars[n].endings)
            bar = bars[at]
        played.append(bar)
        at += 1
        if bar.closes and turn < last:
            turn, at = turn + 1, start
    return played


def _times_of(bars: list[PageBar], start: int) -> int:
    """How often the passage that opens there is played."""
    most = 1
    for at in range(start, len(bars)):
        if at > start and bars[at].opens:
            break
        most = max(most, *bars[at].endings, 1)
        if bars[at].closes and not any(bar.endings for bar in bars[start : at + 1]):
            return bars[at].times
    return most
