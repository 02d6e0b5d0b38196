"""Why the nearest arrangement has a string otherwise than the tab: because something is wrong
there, or only because the manner or the right hand would have it so.

A change is a wish where no fault is told of its string, and the manner does not take that bass
note, or the right hand cannot leave out the string that the tab leaves silent, or strike it with
the others. The tab is judged
anew as it would be mended: a wish without which a fault would stay is no wish.

Public: Reasons.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cached_property

from scoring.moment import Moment
from undersong.handed.finding import Finding, Subject
from undersong.handed.judging import Judge
from undersong.handed.mending import DRONE, MANNER, RIGHT_HAND, Asked, Change
from undersong.handed.placing import PlacedTab
from undersong.handed.sounding import Here, heard
from undersong.handed.tab import SHAPES, Column, Sign, Tab

_NO_STRING = frozenset(("order", "timing", "missing", "beyond"))
"""Faults that no other fret mends."""


class Reasons:
    """The reasons for the changes of one tab; judge: has judged it as it was typed."""

    def __init__(
        self, subject: Subject, tab: Tab, found: PlacedTab, here: Sequence[Here], judge: Judge,
        findings: Sequence[Finding],
    ) -> None:  # fmt: skip
        self.subject, self.tab, self.found, self.here = subject, tab, found, here
        self.judge = judge
        self.faults = [one for one in findings if one.fault and one.kind not in _NO_STRING]
        self.remarks = [one for one in findings if not one.fault and one.kind == "bass role"]

    def told(self, changes: tuple[Change, ...], asked: Asked) -> tuple[Change, ...]:
        """The changes, each with its reason."""
        told = [replace(change, why=self._why(change, asked)) for change in changes]
        told = self._without_bystanders(told, asked)
        wishes = [at for at, change in enumerate(told) if change.wish]
        if not wishes or not self.faults or any(change.turns for change in changes):
            return tuple(told)
        left = self.left([one for one in told if not one.wish])
        least = self.left(told)
        for at in wishes:
            if left <= least:
                break
            mends = replace(told[at], why="")
            fewer = self.left([*(one for one in told if not one.wish), mends])
            if fewer < left:
                told[at], left = mends, fewer
        return tuple(told)

    def left_wrong(self, changes: Sequence[Change], asked: Asked) -> list[tuple[int, int, int]]:
        """(played bar, tick, string) of wrong notes that the right hand strikes, and no change
        mends where they are."""
        mended = {(one.where, one.course) for one in changes}
        wrong = {
            (place, fault.course)
            for fault in self.faults
            if fault.kind == "pitch" and fault.course >= 0
            for place in fault.places
            if (place, fault.course) not in mended
        }
        return [
            (bar, tick, course)
            for (bar, tick, course), index in asked.typed.items()
            if (self._place(index), course) in wrong
        ]

    def spoiling(self, changes: Sequence[Change], asked: Asked) -> list[tuple[int, int, int]]:
        """(played bar, tick, string) of what would be changed for the stroke that it is taken for,
        to a fret that is wrong where it was typed, before that stroke."""
        late = [one for one in changes if not one.wish and self._is_later(one, asked)]
        if not late:
            return []
        wrong = {(place, fault.course) for fault in self.after(changes) for place in fault.places}
        return [
            spot for one in late if (one.where, one.course) in wrong for spot in self.spots(one)
        ]

    @staticmethod
    def spots(change: Change) -> list[tuple[int, int, int]]:
        """(played bar, tick, string) of every stroke that the change is for."""
        return [(*at, change.course) for at in change.at]

    def _is_later(self, change: Change, asked: Asked) -> bool:
        """Whether it is a number typed before the stroke that it is taken for."""
        if change.rings or self.tab.form == SHAPES:
            return False
        typed = (self.here[asked.typed[spot]].at for spot in self.spots(change))
        return any((at.played, at.tick) not in change.at for at in typed)

    def wrong_ringing(self, asked: Asked) -> list[tuple[int, int, int]]:
        """(played bar, tick, string) of wrong notes that ring on: they are mended where they
        begin."""
        wrong = {
            (place, fault.course)
            for fault in self.faults
            if fault.course >= 0
            for place in fault.places
        }
        return [at for at, index in asked.rings.items() if (self._place(index), at[2]) in wrong]

    def struck(self, asked: Asked) -> frozenset[tuple[str, int]]:
        """(place in words, string) of all that the right hand strikes."""
        return frozenset(
            (self._place(index), course) for (_, _, course), index in asked.typed.items()
        )

    def left(self, changes: Iterable[Change]) -> int:
        """How many faults of strings there are in the tab, so changed."""
        return sum(len(fault.places) for fault in self.after(changes))

    def after(self, changes: Iterable[Change]) -> tuple[Finding, ...]:
        """The faults of strings that the tab has, so changed; nothing is said of a string that is
        changed otherwise each time."""
        changes = tuple(changes)
        open_yet = {(one.where, one.course) for one in changes if one.turns}
        new: dict[int, Column] = {}
        by_place = {(one.at.column.line, one.at.column.column): one.at.column for one in self.here}
        for change in changes:
            old = by_place[change.line, change.column]
            column = new.get(id(old), old)
            strings = list(column.strings)
            typed = strings[change.course]
            sign = Sign(change.new, "", change.column) if typed is None else typed
            strings[change.course] = replace(sign, fret=change.new, finger=None)
            new[id(old)] = replace(column, strings=tuple(strings))
        columns = tuple(
            replace(one, column=new.get(id(one.column), one.column)) for one in self.found.columns
        )
        found = replace(self.found, columns=columns)
        here = heard(self.tab, found, self.subject.moments)
        findings = Judge(self.subject, self.tab, found, here).findings()
        return tuple(
            one
            for one in findings
            if one.fault
            and one.kind not in _NO_STRING
            and not any((place, one.course) in open_yet for place in one.places)
        )

    @cached_property
    def _moments(self) -> dict[tuple[int, int], Moment]:
        return {(moment.bar, moment.offset): moment for moment in self.subject.moments}

    def _place(self, index: int) -> str:
        at = self.here[index].at
        return self.judge.place(at.played, at.tick)

    def _without_bystanders(self, told: Sequence[Change], asked: Asked) -> list[Change]:
        """The same, those called a wish that are where a fault of no one string is, and that do
        not take part in mending it."""
        out = list(told)
        for at, change in enumerate(told):
            wish = "" if change.wish else self._why(change, asked, whole=False)
            if not wish:
                continue
            mends = [one for one in out if not one.wish]
            if self.left(one for one in mends if one is not change) <= self.left(mends):
                out[at] = replace(change, why=wish)
        return out

    def _why(self, change: Change, asked: Asked, whole: bool = True) -> str:
        """whole: faults of no one string count."""
        for fault in self.faults:
            own = fault.course == change.course or (whole and fault.course < 0)
            if own and change.where in fault.places:
                return ""
        moments = [self._moments[place] for place in change.at if place in self._moments]
        if change.old < 0:
            strikes = [way[change.course] for moment in moments for way in moment.strikes]
            return RIGHT_HAND if strikes and all(strikes) else ""
        if change.new < 0 and not change.rings and not any(map(asked.in_one_stroke, moments)):
            return RIGHT_HAND
        if self.subject.style.texture == "drone" and change.new == self.subject.instrument.capo:
            return DRONE
        if change.course:
            return ""
        if any(change.where in remark.places for remark in self.remarks):
            return MANNER
        pitch = self.subject.instrument.pitch(0, change.old)
        takes = [self.judge.takes(moment, pitch) for moment in moments]
        return MANNER if takes and not any(takes) else ""
