"""Every sequence of choices of some bars while only some of the demands are kept.

``LooseBook`` is ``tests.solver.oracles.Book`` with the rules of the demands that are left out taken
out of it, one by one, and with beginnings in the middle of a tune. It shares no code with
``solver.loose``.

Public: LooseBook.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import cached_property
from itertools import product

from fretboard.fingering import fingerings
from fretboard.grip import Grip
from fretboard.hand import FINGERS
from scoring.choice import Choice
from scoring.moment import Moment
from scoring.weights import Weights
from solver.demands import Demanded, Wanted
from solver.moments import moments_of
from tests.solver.oracles import Book
from tests.solver.ruled_book import NOTHING_OWED, Standing
from undersong.check.pins import holds, pinned_at

STEPS = (-2, -1, 1, 2)
ANY = "sixth"
"""A role of which no rule speaks."""

UPPER = ("second", "third", "fourth", "fifth")


class LooseBook(Book):
    """The played bars first to last, kept: what is demanded there. No pins of manners."""

    def __init__(self, wanted: Wanted, kept: frozenset[Demanded], first: int, last: int) -> None:
        self.wanted, self.kept = wanted, kept
        courses = len(wanted.instrument.courses)
        every = moments_of(wanted.tune, wanted.style, courses)
        self.whole = every
        self.place = {i: m for i, m in enumerate(every) if first <= m.bar <= last}
        self.begins, self.closes = 0 in self.place, len(every) - 1 in self.place
        self.at = 0
        self.moments = tuple(self.place.values())
        self.instrument, self.hand = wanted.instrument, wanted.hand
        self.style, self.weights = wanted.style, Weights()
        self._written: dict[int, tuple[Moment, list[tuple[Grip, tuple[bool, ...]]]]] = {}

    @cached_property
    def playable(self) -> bool:
        """Whether any sequence is there: one is looked for, depth first."""
        dead: set[tuple[int, object]] = set()
        stack: list[Iterator[Standing]] = [self._after(0, None)]
        while stack:
            standing = next(stack[-1], None)
            if standing is None:
                stack.pop()
                continue
            depth = len(stack)
            grip = standing.choice.grip
            key = depth, (grip.frets, grip.fingers, standing.line, standing.owed)
            if key in dead:
                continue
            dead.add(key)
            if depth == len(self.moments):
                if not self.closes or standing.owed == NOTHING_OWED:
                    return True
                continue
            stack.append(self._after(depth, standing))
        return False

    def _after(self, index: int, before: Standing | None) -> Iterator[Standing]:
        if index not in self._written:
            self.at = min(self.place) + index
            self._written[index] = self._rows(self.moments[index])
        moment, rows = self._written[index]
        for row in rows:
            if before is None:
                yield from self._begin(moment, *row)
            else:
                yield from self._follow(moment, before, *row)

    def has(self, kind: str, moment: Moment) -> bool:
        if kind == "bass":
            kind = "root" if moment.change else "line"
        return any(d.kind == kind and d.written in (None, moment.written) for d in self.kept)

    def _refused(self) -> bool:
        return False  # looked at moment by moment

    def _no_root_or_body(self, moment: Moment) -> bool:
        chord = moment.chord
        if chord is None or not moment.change:
            return False
        classes = [
            {self.instrument.pitch(c, f) % 12 for f in self._under(moment, c)}
            for c in range(len(self.instrument.courses))
        ]
        body = {pc for name, pc in chord.degrees.items() if name in UPPER}
        no_root = chord.bass_pitch_class not in classes[0]
        no_body = not any(body & there for there in classes)
        return (self.has("bass", moment) and no_root) or (self.has("body", moment) and no_body)

    def _under(self, moment: Moment, course: int) -> list[int]:
        limit = self.style.highest if course else self.style.bass_ceiling
        if not self.has("highest" if course else "ceiling", moment):
            limit = 99
        frets = self.instrument.frets(course)
        return [fret for fret in frets if fret - self.instrument.capo <= limit]

    def _rows(self, moment: Moment) -> tuple[Moment, list[tuple[Grip, tuple[bool, ...]]]]:
        if moment.chord is not None and not self.has("bass", moment):
            own = frozenset(moment.chord.degrees)
            own |= {"slash bass"} if moment.chord.bass else set()
            roles = moment.roles | moment.fallback | own
            moment = replace(moment, keeps=False, rings=False, roles=roles)
        if not self.has("strokes", moment):
            uppers = zip(*[struck[1:] for struck in moment.strikes], strict=True)
            subsets = product(*[(True, False) if any(column) else (False,) for column in uppers])
            basses = {struck[0] for struck in moment.strikes}
            strikes = tuple((bass, *upper) for upper in subsets for bass in basses)
            moment = replace(moment, strikes=strikes)
        if self._no_root_or_body(moment):
            return moment, []
        moment = replace(moment, roles=moment.roles | moment.fallback)
        rows = [row for row in self._loose_shapes(moment) if self._pinned(*row)]
        return moment, rows

    def _loose_shapes(self, moment: Moment) -> Iterator[tuple[Grip, tuple[bool, ...]]]:
        hand = self.wanted.hand
        if not self.has("reach", moment):
            hand = replace(hand, greatest=dict.fromkeys(hand.greatest, 99_999))
        if not self.has("bars", moment):
            hand = replace(hand, may_bar=FINGERS)
        if not self.has("unused", moment):
            hand = replace(hand, not_used="")
        for struck in dict.fromkeys(moment.strikes):
            strings = [
                [f for f in (-1, *self._under(moment, c)) if self._may(moment, struck, c, f)]
                for c in range(len(self.instrument.courses))
            ]
            for frets in product(*strings):
                pitches = [self.instrument.pitch(c, f) for c, f in enumerate(frets) if f >= 0]
                if self.has("lowest", moment) and frets[0] >= 0 and min(pitches) < pitches[0]:
                    continue
                if any(fret > self.instrument.capo for fret in frets):
                    grips = fingerings(frets, self.instrument, hand)
                else:
                    grips = (Grip(frets, (-1,) * len(frets), 0),)
                yield from ((grip, struck) for grip in grips)

    def _may(self, moment: Moment, struck: tuple[bool, ...], course: int, fret: int) -> bool:
        if fret < 0:
            return self._may_sound(moment, struck, course, fret)
        if moment.chord is None:
            return False
        pitch = self.instrument.pitch(course, fret)
        if course == 0:
            if struck[0]:
                return bool(self._roles(moment, pitch))
            sounds = not self.has("bass", moment) or bool(self._roles(moment, pitch))
            return sounds and moment.plays[0] and not moment.damped
        tone = not self.has("chord", moment) or pitch % 12 in moment.chord.degrees.values()
        if struck[course]:
            return tone
        original = self.whole[self.at].strikes[0][course]
        left_out = original and self.has("strokes", moment)
        return moment.plays[course] and not left_out and (tone or fret == self.instrument.capo)

    def _roles(self, moment: Moment, pitch: int) -> list[str]:
        found = super()._roles(moment, pitch)
        if moment.chord is None or self.has("bass", moment):
            return found
        own = [name for name, pc in moment.chord.degrees.items() if pc == pitch % 12]
        if moment.chord.bass and moment.chord.bass_pitch_class == pitch % 12:
            own.append("slash bass")
        anything = [] if own or self.has("chord", moment) else [ANY]
        return list(dict.fromkeys(found + own + anything))

    def _pinned(self, grip: Grip, struck: tuple[bool, ...]) -> bool:
        """Whether the pins that say nothing of roles hold."""
        choice = Choice(grip, struck, None)
        for demand in self.kept:
            if demand.pin is not None:
                for index, asked in pinned_at(self.wanted.tune, self.whole, demand.pin):
                    if index == self.at and asked is not None:
                        moment = self.whole[index]
                        if not holds(asked, demand.pin.forbid, moment, choice, self.instrument):
                            return False
        return True

    def _begin(self, moment: Moment, grip: Grip, struck: tuple[bool, ...]) -> Iterator[Standing]:
        if self.begins:
            yield from super()._begin(moment, grip, struck)
            return
        pitches = [self.instrument.pitch(0, fret) for fret in self.instrument.frets(0)]
        here = self.instrument.pitch(0, grip.frets[0]) if grip.frets[0] >= 0 else None
        nothing = frozenset[str]()
        if moment.chord is None:
            yield Standing(Choice(grip, struck, None), None, nothing, NOTHING_OWED)
        elif struck[0]:
            assert here is not None
            for role in self._roles(moment, here):
                for owed in self._may_owe(role, here, moment):
                    yield Standing(Choice(grip, struck, role), here, nothing, owed)
        else:
            if here is None:
                yield Standing(Choice(grip, struck, None), None, nothing, NOTHING_OWED)
            for line in pitches if here is None else [here]:
                for role in ("root", "passing", "neighbour", "approach"):
                    for owed in self._may_owe(role, line, replace(moment, leads=True)):
                        yield Standing(Choice(grip, struck, None), line, nothing, owed)

    def _may_owe(self, role: str, pitch: int, moment: Moment) -> list[tuple[frozenset[int], bool]]:
        if role == "passing":
            return [(frozenset({pitch + way, pitch + 2 * way}), False) for way in (1, -1)]
        if role == "neighbour":
            return [(frozenset({pitch + by}), False) for by in STEPS]
        if role == "approach":
            return [(frozenset(pitch + by for by in STEPS), True)] if moment.leads else []
        return [NOTHING_OWED]
