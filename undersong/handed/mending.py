"""What a tab costs, and the smallest change that mends it.

The tab's frets are asked for at a price so high that fewer changed strings always come first
(``solver.conditions.near``); what the solved answer has otherwise is the change. What this
right hand strikes later than the tab does, strings after the bass, say, is meant for that later
stroke; what it never strikes is left out. An answer that changes nothing is the
tab itself in its cheapest fingers, so its cost is the tab's.

Public: Change, Asked, rows_of, meant_for, near_to, changes_of, strings, number_of, spots_of,
split_numbers, MANNER, RIGHT_HAND, DRONE.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from scoring.moment import Moment
from solver.conditions.near import Near, Placed, strings_apart
from solver.conditions.price import MOST_PRICE
from solver.result import Arrangement
from undersong.handed.sounding import Here
from undersong.handed.tab import SHAPES, Tab

Frets = tuple[int | None, ...]

MANNER, RIGHT_HAND, DRONE = "manner", "right hand", "drone"
"""Why a string is changed that mends nothing."""


@dataclass(frozen=True)
class Change:
    """bar: of the tab; where: in words, as typed there; course: which string; old, new: frets, -1
    silent; times: how often that is played; turns: the times through that it is for, empty where
    it is for each; why: empty where it mends something, else who would have it otherwise; line,
    column: of the text; written, named: the written bar's index, and the times through by which
    it is called; at: the moments in which it is played; rings: it is
    not struck there, but rings on."""

    bar: int
    where: str
    course: int
    old: int
    new: int
    times: int = 1
    turns: tuple[int, ...] = ()
    why: str = ""
    line: int = 0
    column: int = 0
    written: int = 0
    named: tuple[int, ...] = ()
    at: tuple[tuple[int, int], ...] = ()
    rings: bool = False

    @property
    def wish(self) -> bool:
        """Whether nothing is mended by it."""
        return bool(self.why)

    @property
    def beat(self) -> str:
        """Where in its bar, in words."""
        return self.where.partition(", ")[2]


def strings(changes: Iterable[Change]) -> int:
    """How many numbers of the tab they change."""
    return len({number_of(one) for one in changes})


AS_TYPED = -2
"""No fret: a stroke that stays as it was typed."""

Number = tuple[int, int, int]
"""Line and column of the text, and the string: one number that was typed."""


def number_of(change: Change) -> Number:
    """The number that it changes."""
    return change.line, change.column, change.course


def spots_of(number: Number, asked: "Asked", here: Sequence[Here]) -> list[tuple[int, int, int]]:
    """(played bar, tick, string) of everything for which that number stands."""
    line, column, course = number
    return [
        spot
        for spot, index in asked.typed.items()
        for typed in (here[index].at.column,)
        if (typed.line, typed.column, spot[2]) == (line, column, course)
    ]


def split_numbers(
    changes: Sequence[Change], asked: "Asked", here: Sequence[Here]
) -> tuple[Number, ...]:
    """The numbers that would be changed otherwise for one of their strokes than for another, though
    not each time through otherwise; in the order of the changes."""
    own: dict[Number, list[Change]] = {}
    for one in changes:
        own.setdefault(number_of(one), []).append(one)
    found = []
    for number, group in own.items():
        if all(one.wish or one.rings for one in group):
            continue
        struck = [spot[:2] for spot in spots_of(number, asked, here) if spot not in asked.rings]
        new = dict.fromkeys(struck, AS_TYPED) | {at: one.new for one in group for at in one.at}
        in_bar: dict[int, set[int]] = {}
        for (bar, _), fret in new.items():
            in_bar.setdefault(bar, set()).add(fret)
        each_time = all(one.turns for one in group)
        if max(map(len, in_bar.values())) > 1 or (not each_time and len(set(new.values())) > 1):
            found.append(number)
    return tuple(found)


class Names(Protocol):
    """Bars by name: times: the times through that a played bar is written out for; place: a played
    bar and a tick in words."""

    times: dict[int, tuple[int, ...]]

    def place(self, played: int, tick: int) -> str: ...


@dataclass(frozen=True)
class Asked:
    """rows: the frets that are asked for, by moment; typed: (played bar, tick, string) of every
    one of them → number of the column in which it was typed; rings: the same of what only sounds
    on → number of the column in which it was struck."""

    rows: tuple[Placed, ...]
    typed: dict[tuple[int, int, int], int]
    rings: dict[tuple[int, int, int], int] = field(default_factory=dict)

    def without(self, places: Iterable[tuple[int, int, int]]) -> "Asked":
        """The same, nothing asked of those strings (played bar, tick, string)."""
        return self.instead(dict.fromkeys(places))

    def instead(self, wanted: Mapping[tuple[int, int, int], int | None]) -> "Asked":
        """The same with other frets asked of those strings, or nothing."""
        if not wanted:
            return self
        rows = (
            Placed(
                row.bar,
                row.offset,
                tuple(
                    wanted.get((row.bar, row.offset, course), fret)
                    for course, fret in enumerate(row.frets)
                ),
            )
            for row in self.rows
        )
        kept = tuple(row for row in rows if any(fret is not None for fret in row.frets))
        return Asked(kept, self.typed, self.rings)

    def in_one_stroke(self, moment: Moment) -> bool:
        """Whether the right hand has a stroke there for all the strings that are struck."""
        struck = [
            course
            for course in range(len(moment.plays))
            for at in ((moment.bar, moment.offset, course),)
            if at in self.typed and at not in self.rings
        ]
        return any(all(way[course] for course in struck) for way in moment.strikes)


def rows_of(tab: Tab, here: Sequence[Here], moments: Sequence[Moment]) -> Asked:
    """The tab's frets by the moments that they are meant for."""
    if tab.form == SHAPES:
        return _of_shapes(here, moments)
    rows: dict[tuple[int, int], list[int | None]] = {}
    typed: dict[tuple[int, int, int], int] = {}

    def name(place: tuple[int, int], course: int, fret: int, index: int) -> None:
        row = rows.setdefault(place, [None] * len(here[0].frets))
        if row[course] is None:
            row[course] = fret
            typed[*place, course] = index

    for index, course, place in meant_for(here, moments):
        fret = here[index].frets[course]
        if place is not None and fret is not None:
            name(place, course, fret, index)
    sounding = {(moment.bar, moment.offset) for moment in moments if moment.chord is not None}
    rings: dict[tuple[int, int, int], int] = {}
    struck: dict[int, int] = {}
    for index, one in enumerate(here):
        place = (one.at.played, one.at.tick)
        for course, fret in enumerate(one.frets):
            if one.struck[course]:
                struck[course] = index
            elif fret is not None and place in sounding:
                name(place, course, fret, index)
                if typed[*place, course] == index and fret >= 0 and course in struck:
                    rings[*place, course] = struck[course]
    asked = tuple(Placed(bar, offset, tuple(frets)) for (bar, offset), frets in rows.items())
    return Asked(asked, typed, rings)


def meant_for(
    here: Sequence[Here], moments: Sequence[Moment]
) -> Iterator[tuple[int, int, tuple[int, int] | None]]:
    """(number of the column, course, the moment's place) of every string struck.

    It is meant for the first moment from there on at which this right hand may strike that string,
    within the bar and before the string has something else in the tab; None where there is none.
    """
    by_bar: dict[int, list[Moment]] = {}
    for moment in moments:
        by_bar.setdefault(moment.bar, []).append(moment)
    following: dict[int, tuple[int, int]] = {}
    for index in range(len(here) - 1, -1, -1):
        one = here[index]
        place = (one.at.played, one.at.tick)
        for course, struck in enumerate(one.struck):
            if not struck:
                continue
            end = following.get(course, (place[0] + 1, 0))
            found = None
            for moment in by_bar.get(place[0], ()):
                at = (moment.bar, moment.offset)
                if any(way[course] for way in moment.strikes) and place <= at < end:
                    found = at
                    break
            following[course] = place
            yield index, course, found


def _of_shapes(here: Sequence[Here], moments: Sequence[Moment]) -> Asked:
    """Upper strings wherever the right hand may strike them until the next shape, or another chord;
    the bass where it is struck first."""
    rows: list[Placed] = []
    typed: dict[tuple[int, int, int], int] = {}
    at, bassed, over = -1, False, True
    begins = [(one.at.played, one.at.tick) for one in here]
    for moment in moments:
        while at + 1 < len(begins) and begins[at + 1] <= (moment.bar, moment.offset):
            at, bassed, over = at + 1, False, False
        over = over or moment.chord != here[at].moment.chord
        if over or moment.chord is None:
            continue
        frets: list[int | None] = []
        for course, fret in enumerate(here[at].frets):
            strikes = any(option[course] for option in moment.strikes)
            asked = strikes and not (course == 0 and bassed)
            frets.append(fret if asked else None)
            if asked and fret is not None:
                typed[moment.bar, moment.offset, course] = at
        bassed = bassed or frets[0] is not None
        if any(fret is not None for fret in frets):
            rows.append(Placed(moment.bar, moment.offset, tuple(frets)))
    return Asked(tuple(rows), typed)


def near_to(rows: tuple[Placed, ...]) -> Near:
    """The wish to change as few strings as can be."""
    return Near(rows, MOST_PRICE)


def changes_of(
    arrangement: Arrangement,
    asked: Asked,
    here: Sequence[Here],
    names: Names,
) -> tuple[Change, ...]:
    """What the answer has otherwise than was asked, where it was typed. What is played several
    times is told once, or where it is changed otherwise each time, with the times that it is for;
    what rings on is told where it stops, and not at all where the note itself is changed. In the
    order of the text."""
    near, typed = near_to(asked.rows), asked.typed
    apart = strings_apart(near, arrangement.moments, arrangement.choices)
    places = [
        (arrangement.moments[index].bar, arrangement.moments[index].offset, course)
        for index, course in apart
    ]
    changed = {(typed[at], at[2]) for at in places if at not in asked.rings}
    stopped: dict[tuple[int, int], int] = {}  # what rang on from there → where it stops
    found: dict[tuple[int, int, int, int], tuple[Here, dict[tuple[int, int], None]]] = {}
    for (index, course), at in zip(apart, places, strict=True):
        source = asked.rings.get(at)
        if source is not None and (
            (source, course) in changed or stopped.setdefault((source, course), index) != index
        ):
            continue
        moment, choice = arrangement.moments[index], arrangement.choices[index]
        frets = near.asked_at(moment)
        assert frets is not None
        old = frets[course]
        assert old is not None
        one = here[typed[moment.bar, moment.offset, course]]
        key = (id(one.at.column), course, old, choice.grip.frets[course])
        found.setdefault(key, (one, {}))[1][moment.bar, moment.offset] = None
    plays: dict[
        tuple[int, int], set[int]
    ] = {}  # of each number of the tab: the bars it is played in
    for (bar, _, course), number in typed.items():
        plays.setdefault((id(here[number].at.column), course), set()).add(bar)
    played = arrangement.tune.played
    turns: dict[tuple[int, int, int, int], tuple[int, ...]] = {}
    for key, (_, spots) in found.items():
        bars = {bar for bar, _ in spots}
        these, others = (
            {played[bar - 1].turn for bar in some} for some in (bars, plays[key[:2]] - bars)
        )
        turns[key] = tuple(sorted(these)) if others and not these & others else ()
    changes = (
        Change(
            one.at.bar, names.place(one.at.played, one.at.tick), course, old, new,
            len({bar for bar, _ in at}), turns[key],
            line=one.at.column.line, column=one.at.column.column,
            written=played[one.at.played - 1].written,
            named=names.times.get(one.at.played, ()), at=tuple(at),
            rings=not one.struck[course] and old >= 0,
        )
        for key, (one, at) in found.items()
        for _, course, old, new in (key,)
    )  # fmt: skip
    return tuple(sorted(changes, key=lambda one: (one.line, one.column, one.course, one.turns)))
