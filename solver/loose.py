"""What can be played at all while only some of the demands are kept; no costs are looked at.

Moment by moment every way to play it that the kept demands leave, with the bass note's role
(``solver.loose_rows``), and from moment to moment where the bass line may be and what a foreign
bass note still owes, by the rules of ``solver.line``.

Public: Loose, TooMuch.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from scoring.moment import FOREIGN, Moment
from solver.conditions.pins import Pin, manners_of
from solver.demands import Wanted
from solver.errors import ConditionError
from solver.line import GOES_BY, STRAIGHT, comes, goes, ways_on
from solver.loose_asked import AskedAt, Held, asked_at, kinds_at
from solver.loose_rows import Row, Rows, TooMuch
from solver.moments import moments_of
from solver.pinning import demands_of

__all__ = ["Loose", "TooMuch"]

Labelled = tuple[int, int]
"""(way that the bass line is going, its pitch or -1)."""

States = dict[int, frozenset[Labelled]]
"""Row → where the bass line may be there."""


class Loose:
    """Whether bars can be played while some demands are kept."""

    def __init__(self, wanted: Wanted) -> None:
        self.wanted = wanted
        self._moments: dict[tuple[tuple[int, str], ...], tuple[Moment, ...]] = {}
        self._rows = Rows(wanted)
        self._known: dict[object, list[Row]] = {}

    def moments(self, pins: Iterable[Pin]) -> tuple[Moment, ...]:
        """The moments with the manners of those pins in force."""
        wanted = self.wanted
        manners = manners_of(wanted.tune, pins)
        key = tuple(sorted(manners.items()))
        if key not in self._moments:
            courses = len(wanted.instrument.courses)
            self._moments[key] = moments_of(wanted.tune, wanted.style, courses, manners)
        return self._moments[key]

    def playable(self, kept: Held, first: int, last: int) -> bool:
        """Whether the played bars ``first`` to ``last`` have a way through, whatever comes before
        and after them (but the tune's own beginning and end)."""
        return self.reached(kept, first, last) is None

    def reached(self, kept: Held, first: int, last: int) -> int | None:
        """The played bar in which there is no way on; None where a way leads through."""
        pins = tuple(demand.pin for demand in kept if demand.pin is not None)
        try:
            moments = self.moments(pins)
            asked = demands_of(self.wanted.tune, moments, pins)
        except ConditionError:
            return first  # the pins do not even fit the bars
        inside = [i for i, moment in enumerate(moments) if first <= moment.bar <= last]
        before: tuple[list[Row], States] | None = None
        for index in inside:
            moment = moments[index]
            own = tuple(demand for _, demand in asked[index])
            rows = self._rows_of(moment, asked_at(moment, kept, own, self._rows.learned))
            if before is not None:
                states = self._step(before, rows, moment, kept)
            elif index == 0:
                states = _begun(rows)
            else:
                states = self._anywhere(rows, moment)
            if index == len(moments) - 1:
                states = _closed(states)
            if not states:
                return moment.bar
            before = rows, states
        return None

    def _rows_of(self, moment: Moment, asked: AskedAt) -> list[Row]:
        key = replace(moment, bar=0, written=0, offset=0), asked
        if key not in self._known:
            self._known[key] = self._rows.of(moment, asked)
        return self._known[key]

    def _step(
        self, before: tuple[list[Row], States], rows: list[Row], moment: Moment, kept: Held
    ) -> States:
        old, reached = before
        keeps = moment.keeps and "bass" in kinds_at(moment, kept)
        tables: dict[tuple[int, ...], dict[object, frozenset[Labelled]]] = {}
        known: dict[object, frozenset[Labelled]] = {}
        found: States = {}
        for index, row in enumerate(rows):
            rings = tuple(
                course
                for course, fret in enumerate(row.frets)
                if fret >= 0 and not row.struck[course]
            )
            if rings not in tables:
                tables[rings] = _table(old, reached, rings)
            labels = tables[rings].get(_seen(row, rings))
            if labels is None:
                continue
            key = labels, row.struck[0], row.pitch, row.role
            if key not in known:
                known[key] = frozenset(
                    new for label in labels for new in _follow(label, row, moment, keeps)
                )
            if known[key]:
                found[index] = known[key]
        return found

    def _anywhere(self, rows: list[Row], moment: Moment) -> States:
        """States in the middle of the tune, whatever came before."""
        instrument = self.wanted.instrument
        pitches = [instrument.pitch(0, fret) for fret in instrument.frets(0)]
        goings = (STRAIGHT, *GOES_BY)
        every = {(going, pitch) for going in goings for pitch in pitches} | {(STRAIGHT, -1)}
        found: States = {}
        for index, row in enumerate(rows):
            if moment.chord is None and not row.struck[0]:
                labels = frozenset({(STRAIGHT, row.pitch)})
            elif row.struck[0]:
                labels = frozenset((going, row.pitch) for going in ways_on(row.role, moment.leads))
            else:
                labels = frozenset(each for each in every if row.pitch in (-1, each[1]))
            if labels:
                found[index] = labels
        return found


def _begun(rows: list[Row]) -> States:
    """Nothing rings at the beginning, and no foreign note stands there."""
    found: States = {}
    for index, row in enumerate(rows):
        quiet = all(hit or fret < 0 for hit, fret in zip(row.struck, row.frets, strict=True))
        if quiet and row.role not in FOREIGN:
            found[index] = frozenset({(STRAIGHT, row.pitch if row.struck[0] else -1)})
    return found


def _closed(states: States) -> States:
    """Those in which no foreign note is left hanging."""
    closed = {
        row: frozenset(label for label in labels if label[0] == STRAIGHT)
        for row, labels in states.items()
    }
    return {row: labels for row, labels in closed.items() if labels}


def _seen(row: Row, courses: tuple[int, ...]) -> object:
    return tuple((row.frets[course], row.fingers[course]) for course in courses)


def _table(
    rows: list[Row], states: States, courses: tuple[int, ...]
) -> dict[object, frozenset[Labelled]]:
    """What those strings have → where the bass line may be then."""
    table: dict[object, set[Labelled]] = {}
    for index, labels in states.items():
        table.setdefault(_seen(rows[index], courses), set()).update(labels)
    return {seen: frozenset(labels) for seen, labels in table.items()}


def _follow(label: Labelled, row: Row, moment: Moment, keeps: bool) -> Iterator[Labelled]:
    """Where the bass line may be after this row, from where it was."""
    going, line = label
    if not row.struck[0]:
        if moment.chord is None and row.pitch < 0:
            if going == STRAIGHT:
                yield STRAIGHT, -1
        elif row.pitch in (-1, line) and (moment.chord is not None or going == STRAIGHT):
            yield label
        return
    if keeps and row.pitch != line and row.role != "melody":
        return
    if going != STRAIGHT and row.role in FOREIGN:
        return
    if not goes(going, line, row.pitch, row.role, moment.change):
        return
    for code in ways_on(row.role, moment.leads):
        if comes(code, line, row.pitch):
            yield code, row.pitch
