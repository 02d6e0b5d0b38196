"""What can be played at all while only some of the demands are kept; no costs are looked at.

Moment by moment every hand shape that the kept demands leave, with the bass note's role, and from
moment to moment where the bass line may be and what a foreign bass note still owes; the rules are
those of ``solver.shapes``, ``solver.layers`` and ``solver.labels``, each under the demand that it
belongs to. Where nothing that is kept speaks of fingers, they are not looked at: five fingers in
order can stop any frets of three or four strings. Where nothing speaks of a string above the bass,
it is silent or open.

Public: Loose, TooMuch.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from fretboard.fingering import fingerings
from fretboard.grip import Grip
from fretboard.hand import FINGERS, Hand
from scoring.choice import NO_ROLE, ROLE_CODE, Shapes
from scoring.moment import FOREIGN, Moment, Strokes
from solver.conditions.few_shapes import LearnedShape
from solver.conditions.pinned import BassManner, BassNote, BassRole, Kept, OneString, Shape
from solver.conditions.pins import Pin, manners_of
from solver.demands import Demanded, Wanted
from solver.errors import ConditionError
from solver.layers import (
    APPROACH,
    PASSING_DOWN,
    PASSING_UP,
    RETURN_BY,
    STRAIGHT,
    Labels,
    Layer,
)
from solver.moments import moments_of
from solver.pin_masks import Demand, holds, knows
from solver.pinning import demands_of, only_known
from solver.shapes import SILENT, bass_roles

UNBOUND = 100_000
"""Tenths of a mm: further than any fretboard is long."""

MOST_ROWS = 150_000
"""Shapes that one moment may have before looking is given up."""

Labelled = tuple[int, int]
"""(way that the bass line is going, its pitch or -1)."""

States = dict[int, frozenset[Labelled]]
"""Row → where the bass line may be there."""

NAMELESS = "free"
"""The role of a bass note that nothing asks anything of."""


class TooMuch(Exception):  # noqa: N818  what it is
    """There is too much to look at once these demands are left out."""


@dataclass(frozen=True)
class Row:
    """One way to play a moment; role: of a bass note struck, else empty."""

    frets: tuple[int, ...]
    fingers: tuple[int, ...]
    struck: Strokes
    role: str
    pitch: int


Held = frozenset[Demanded]


@dataclass(frozen=True)
class _Asked:
    """What is kept at one moment. kinds: of demands, ``bass`` where root or line speaks of it;
    own: what the pins ask; fingers: whether anything kept anywhere speaks of fingers; named: the
    courses that a pin kept anywhere speaks of."""

    kinds: frozenset[str]
    own: tuple[Demand, ...]
    fingers: bool
    named: frozenset[int]

    def easy(self, course: int) -> bool:
        """Whether it does not matter which fret that course, above the bass, has."""
        return course not in self.named and not self.kinds & {"chord", "lowest", "known"}


class Loose:
    """Whether bars can be played while some demands are kept."""

    def __init__(self, wanted: Wanted) -> None:
        self.wanted = wanted
        self._moments: dict[tuple[tuple[int, str], ...], tuple[Moment, ...]] = {}
        self._rows: dict[object, list[Row]] = {}

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
            rows = self._rows_of(moment, self._asked(moment, kept, own))
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

    # one moment

    def _rows_of(self, moment: Moment, asked: _Asked) -> list[Row]:
        key = replace(moment, bar=0, written=0, offset=0), asked
        if key not in self._rows:
            self._rows[key] = self._made(moment, asked)
        return self._rows[key]

    def _asked(self, moment: Moment, kept: Held, own: tuple[Demand, ...]) -> _Asked:
        kinds = self._kinds(moment, kept)
        fingers = bool(kinds & {"reach", "bars", "unused"})
        if "known" in kinds:
            known = self._known
            fingers = fingers or any(shape.fingers is not None for shape in known)
        fingers = fingers or any(d.pin is not None and _names_fingers(d.pin) for d in kept)
        named = [_named_courses(demand.pin) for demand in kept if demand.pin is not None]
        return _Asked(kinds, own, fingers, frozenset().union(*named))

    def _kinds(self, moment: Moment, kept: Held) -> frozenset[str]:
        """What is demanded here; ``bass`` where root or line is, whichever speaks of the moment."""
        kinds = {demand.kind for demand in kept if demand.written in (None, moment.written)}
        bass = {"bass"} if ("root" if moment.change else "line") in kinds else set()
        return frozenset(kinds - {"root", "line"} | bass)

    @property
    def _known(self) -> tuple[LearnedShape, ...]:
        return only_known(self.wanted.conditions) or ()

    def _made(self, moment: Moment, asked: _Asked) -> list[Row]:
        courses, kinds = len(self.wanted.instrument.courses), asked.kinds
        if moment.chord is None:
            return [Row((SILENT,) * courses, (-1,) * courses, (False,) * courses, "", -1)]
        if self._refused(moment, kinds):
            return []
        hand = self._hand(kinds)
        stops = {shape.frets for shape in self._known} if "known" in kinds else None
        rows: list[Row] = []
        for struck in self._strokes(moment, kinds):
            options = [self._frets(moment, c, struck, asked) for c in range(courses)]
            for frets in product(*options):
                if "lowest" in kinds and not self._bass_is_lowest(frets):
                    continue
                if stops is not None and not self._may_be_known(frets, stops):
                    continue
                roles = self._roles(moment, frets[0], struck[0], kinds)
                pitch = self._pitch(0, frets[0]) if frets[0] >= 0 else -1
                rows += [
                    Row(frets, fingers, struck, role, pitch)
                    for fingers in self._fingers(frets, hand, asked.fingers)
                    for role in roles
                ]
                if len(rows) > MOST_ROWS:
                    raise TooMuch("there are too many ways to play it")
        return self._filtered(rows, moment, asked)

    def _may_be_known(self, frets: tuple[int, ...], stops: set[tuple[int | None, ...]]) -> bool:
        capo = self.wanted.instrument.capo
        stopped = tuple(fret if fret > capo else None for fret in frets)
        return not any(stopped) or stopped in stops

    def _pitch(self, course: int, fret: int) -> int:
        return self.wanted.instrument.pitch(course, fret)

    def _limit(self, course: int, kinds: frozenset[str]) -> int:
        style, capo = self.wanted.style, self.wanted.instrument.capo
        if course == 0:
            return capo + style.bass_ceiling if "ceiling" in kinds else 64
        return capo + style.highest if "highest" in kinds else 64

    def _there(self, course: int, kinds: frozenset[str]) -> list[int]:
        limit = self._limit(course, kinds)
        return [fret for fret in self.wanted.instrument.frets(course) if fret <= limit]

    def _refused(self, moment: Moment, kinds: frozenset[str]) -> bool:
        """Whether a chord that begins is refused outright, as ``solver.refusal`` does."""
        chord = moment.chord
        if not moment.change:
            return False
        assert chord is not None
        classes = [
            {self._pitch(course, fret) % 12 for fret in self._there(course, kinds)}
            for course in range(len(self.wanted.instrument.courses))
        ]
        if "bass" in kinds and chord.bass_pitch_class not in classes[0]:
            return True
        body = {
            pc
            for name, pc in chord.degrees.items()
            if name in ("third", "second", "fourth", "fifth")
        }
        return "body" in kinds and all(body.isdisjoint(each) for each in classes)

    def _strokes(self, moment: Moment, kinds: frozenset[str]) -> tuple[Strokes, ...]:
        if "strokes" in kinds:
            return moment.strikes
        count = len(moment.plays)
        asked = [any(struck[course] for struck in moment.strikes) for course in range(count)]
        options = [(True, False) if on else (False,) for on in asked[1:]]
        basses = dict.fromkeys(struck[0] for struck in moment.strikes)
        return tuple((bass, *upper) for bass in basses for upper in product(*options))

    def _frets(
        self,
        moment: Moment,
        course: int,
        struck: Strokes,
        asked: _Asked,
    ) -> list[int]:
        kinds = asked.kinds
        there = self._there(course, kinds)
        if course == 0:
            found = self._bass_frets(moment, there, struck[0], kinds)
        else:
            found = self._upper_frets(moment, course, there, struck, kinds)
            if asked.easy(course):
                return found[:1]
        for demand in asked.own:
            shape = demand.asked
            if not demand.forbid and isinstance(shape, Shape | OneString):
                fret = shape.frets[course]
                found = [f for f in found if fret is None or f in (fret, SILENT)]
        return found

    def _bass_frets(
        self, moment: Moment, there: list[int], struck: bool, kinds: frozenset[str]
    ) -> list[int]:
        sounding = [fret for fret in there if self._roles(moment, fret, True, kinds)]
        if struck:
            return sounding
        if moment.damped or not moment.plays[0]:
            return [SILENT]
        ringing = sounding if "bass" in kinds else there
        return ringing if moment.rings and "bass" in kinds else [SILENT, *ringing]

    def _upper_frets(
        self,
        moment: Moment,
        course: int,
        there: list[int],
        struck: Strokes,
        kinds: frozenset[str],
    ) -> list[int]:
        assert moment.chord is not None
        tones = moment.chord.pitch_classes if "chord" in kinds else frozenset(range(12))
        sounding = [fret for fret in there if self._pitch(course, fret) % 12 in tones]
        if struck[course]:
            return sounding
        left_out = moment.strikes[0][course]
        if not moment.plays[course] or (left_out and "strokes" in kinds):
            return [SILENT]
        capo = self.wanted.instrument.capo
        return [SILENT, *([] if capo in sounding else [capo]), *sounding]

    def _roles(self, moment: Moment, fret: int, struck: bool, kinds: frozenset[str]) -> list[str]:
        """What a bass note may be when struck; [""] where it is not struck."""
        if not struck:
            return [""]
        chord, pitch = moment.chord, self._pitch(0, fret)
        assert chord is not None
        roles = bass_roles(moment, pitch)
        if "bass" in kinds:
            return roles
        own = [name for name, pc in chord.degrees.items() if pc == pitch % 12]
        if chord.bass and chord.bass_pitch_class == pitch % 12:
            own.append("slash bass")
        if not own and "chord" not in kinds:
            own = [NAMELESS]
        return list(dict.fromkeys([*roles, *own]))

    def _bass_is_lowest(self, frets: tuple[int, ...]) -> bool:
        if frets[0] < 0:
            return True
        bass = self._pitch(0, frets[0])
        return all(f < 0 or self._pitch(c, f) >= bass for c, f in enumerate(frets))

    def _hand(self, kinds: frozenset[str]) -> Hand:
        hand = self.wanted.hand
        if "reach" not in kinds:
            hand = replace(hand, greatest=dict.fromkeys(hand.greatest, UNBOUND))
        if "bars" not in kinds:
            hand = replace(hand, may_bar=FINGERS)
        return hand if "unused" in kinds else replace(hand, not_used="")

    def _fingers(self, frets: tuple[int, ...], hand: Hand, look: bool) -> Iterator[tuple[int, ...]]:
        """Every fingering; where fingers are not looked at, the first finger for all."""
        capo = self.wanted.instrument.capo
        if not look or all(fret <= capo for fret in frets):
            yield tuple(0 if fret > capo else -1 for fret in frets)
        else:
            yield from (grip.fingers for grip in fingerings(frets, self.wanted.instrument, hand))

    def _filtered(self, rows: list[Row], moment: Moment, asked: _Asked) -> list[Row]:
        """The rows that hold the pins and have known shapes only."""
        own = asked.own
        known = self._known if "known" in asked.kinds else None
        if not rows or not (own or known is not None):
            return rows
        instrument, hand = self.wanted.instrument, self.wanted.hand
        shapes = Shapes.of(
            [(Grip(row.frets, row.fingers, 0), row.struck) for row in rows], instrument, hand
        )
        layer = _as_layer(shapes, rows, moment)
        left = np.ones(len(rows), np.bool_)
        for demand in own:
            left &= holds(layer, demand)
        if known is not None:
            left &= knows(shapes, known)
        return [row for row, there in zip(rows, left.tolist(), strict=True) if there]

    # from moment to moment

    def _step(
        self, before: tuple[list[Row], States], rows: list[Row], moment: Moment, kept: Held
    ) -> States:
        old, reached = before
        keeps = moment.keeps and "bass" in self._kinds(moment, kept)
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
        goings = (STRAIGHT, PASSING_UP, PASSING_DOWN, APPROACH, *RETURN_BY)
        every = {(going, pitch) for going in goings for pitch in pitches} | {(STRAIGHT, -1)}
        found: States = {}
        for index, row in enumerate(rows):
            if moment.chord is None:
                labels = frozenset({(STRAIGHT, -1)})
            elif row.struck[0]:
                labels = frozenset((going, row.pitch) for going in _goings(row.role, moment))
            else:
                labels = frozenset(each for each in every if row.pitch in (-1, each[1]))
            if labels:
                found[index] = labels
        return found


def _names_fingers(pin: Pin) -> bool:
    """Whether a pin speaks of fingers."""
    pinned = pin.pinned
    if isinstance(pinned, Shape):
        return pinned.fingers is not None
    if isinstance(pinned, OneString):
        return pinned.finger is not None
    return not isinstance(pinned, BassNote | BassRole | BassManner)


def _named_courses(pin: Pin) -> frozenset[int]:
    """The courses that a pin says something of, the bass note left aside."""
    pinned = pin.pinned
    if isinstance(pinned, Kept):
        return frozenset(range(len(pinned.times[0][0].shape.frets)))
    if isinstance(pinned, Shape | OneString):
        frets, fingers = pinned.frets, pinned.fingers or (None,) * len(pinned.frets)
        return frozenset(
            course
            for course, (fret, finger) in enumerate(zip(frets, fingers, strict=True))
            if fret is not None or finger is not None
        )
    return frozenset()


def _as_layer(shapes: Shapes, rows: list[Row], moment: Moment) -> Layer:
    """The rows as far as a pin looks at a layer: its shapes and the bass notes' roles."""
    role = np.array([ROLE_CODE.get(row.role, NO_ROLE) for row in rows], np.int32)
    nothing = np.zeros(len(rows), np.int32)
    every = np.arange(len(rows), dtype=np.intp)
    labels = Labels(role, nothing, nothing, nothing)
    return Layer(moment, shapes, labels, nothing[:, None], every, every, every, {})


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


def _goings(role: str, moment: Moment) -> tuple[int, ...]:
    """The ways on that a bass note of that role may have."""
    if role == "passing":
        return PASSING_UP, PASSING_DOWN
    if role == "neighbour":
        return tuple(RETURN_BY)
    if role == "approach":
        return (APPROACH,) if moment.leads else ()
    return (STRAIGHT,)


def _follow(label: Labelled, row: Row, moment: Moment, keeps: bool) -> Iterator[Labelled]:
    """Where the bass line may be after this row, from where it was."""
    going, line = label
    if moment.chord is None:
        if going == STRAIGHT:
            yield STRAIGHT, -1
        return
    if not row.struck[0]:
        if row.pitch in (-1, line):
            yield label
        return
    up = row.pitch - line
    if keeps and up:
        return
    if going != STRAIGHT and (row.role in FOREIGN or not _arrives(going, up, row, moment)):
        return
    for code in _goings(row.role, moment):
        if code in (STRAIGHT, APPROACH) or (line >= 0 and _comes(code, up)):
            yield code, row.pitch


def _comes(code: int, up: int) -> bool:
    """Whether a foreign note that is to go on so comes by the right step."""
    if code == PASSING_UP:
        return 1 <= up <= 2
    if code == PASSING_DOWN:
        return -2 <= up <= -1
    return up == -RETURN_BY[code]


def _arrives(going: int, up: int, row: Row, moment: Moment) -> bool:
    """Whether the foreign note before goes where it must."""
    if going == PASSING_UP:
        return 1 <= up <= 2
    if going == PASSING_DOWN:
        return -2 <= up <= -1
    if going == APPROACH:
        return moment.change and row.role in ("root", "slash bass") and 1 <= abs(up) <= 2
    return up == RETURN_BY[going]
