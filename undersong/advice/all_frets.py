"""What extra frets do over all that a player plays: which one more would help most.

Public: FretsAdvice, Total, on_all.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from fretboard.instrument import Instrument
from solver.errors import ArrangeError
from solver.watch import OutOfTime, Stopped, Watch
from tune.errors import TuneError
from undersong.advice.fretboards import Fretboard
from undersong.advice.frets import CANNOT, PLAYED, UNKNOWN, Outcome, Row, one_tune
from undersong.advice.piece import Piece


@dataclass(frozen=True)
class Total:
    """One fretboard over all tunes, held against the player's own.

    playable: how many tunes can be played; opened, closed: names of those that can only there, and
    only on her own; opened_cost: ms that those it opens cost there in all; easier, saved: how many
    cost less, and ms less in all; harder: how many cost more, or may; more_least, more_most: by how
    many ms in all, at least and at most; unknown: tunes of which this is not known.
    """

    fretboard: Fretboard
    playable: int
    opened: tuple[str, ...]
    opened_cost: int
    closed: tuple[str, ...]
    easier: int
    saved: int
    harder: int
    more_least: int
    more_most: int
    unknown: int


@dataclass(frozen=True)
class FretsAdvice:
    """own: her instrument; fretboards: what it is held against; rows: one a tune; left_out: (name,
    why) of those that could not be read or arranged on any instrument."""

    own: Instrument
    fretboards: tuple[Fretboard, ...]
    rows: tuple[Row, ...]
    left_out: tuple[tuple[str, str], ...] = ()

    @property
    def playable(self) -> int:
        """How many tunes her own instrument plays."""
        return sum(row.own.kind == PLAYED for row in self.rows)

    @property
    def proven(self) -> bool:
        return all(row.proven for row in self.rows)

    @cached_property
    def totals(self) -> tuple[Total, ...]:
        """One for each fretboard."""
        return tuple(
            _total(one, [(row.title, row.own, row.others[place]) for row in self.rows])
            for place, one in enumerate(self.fretboards)
        )

    @cached_property
    def best(self) -> tuple[Total, ...]:
        """The single frets more that help most: those with which most tunes more can be played,
        then those that save most, then those with which the tunes that they open cost least;
        nothing where none helps."""
        single = [t for t in self.totals if t.fretboard.added and t.fretboard.single]
        helping = [t for t in single if t.opened or t.saved]
        ranks = [(len(t.opened), t.saved, -t.opened_cost) for t in helping]
        return tuple(t for t, rank in zip(helping, ranks, strict=True) if rank == max(ranks))


def _total(fretboard: Fretboard, pairs: Sequence[tuple[str, Outcome, Outcome]]) -> Total:
    opened = [(n, o.most or 0) for n, own, o in pairs if own.kind == CANNOT and _is_played(o)]
    apart = [_apart(own, there) for _, own, there in pairs]
    known = [between for between in apart if between is not None]
    more = [between for between in known if between[1] > 0]
    return Total(
        fretboard,
        playable=sum(_is_played(there) for _, _, there in pairs),
        opened=tuple(name for name, _ in opened),
        opened_cost=sum(cost for _, cost in opened),
        closed=tuple(n for n, own, there in pairs if _is_played(own) and there.kind == CANNOT),
        easier=sum(most < 0 for _, most in known),
        saved=sum(-most for _, most in known if most < 0),
        harder=len(more),
        more_least=sum(max(0, least) for least, _ in more),
        more_most=sum(most for _, most in more),
        unknown=sum(UNKNOWN in (own.kind, there.kind) for _, own, there in pairs),
    )


def _is_played(outcome: Outcome) -> bool:
    return outcome.kind not in (CANNOT, UNKNOWN)


def _apart(own: Outcome, there: Outcome) -> tuple[int, int] | None:
    """ms that the other costs more than her own, at least and at most (below nothing: less); None
    where one of them cannot be played or is not known."""
    if own.least is None or own.most is None or there.least is None or there.most is None:
        return None
    return there.least - own.most, there.most - own.least


def on_all(
    pieces: Iterable[tuple[str, Callable[[], Piece]]],
    own: Instrument,
    fretboards: Sequence[Fretboard],
    watch: Watch,
    seconds: float,
    *,
    every: bool = False,
) -> FretsAdvice:
    """Every piece on every fretboard; seconds: what one may take.

    A piece that cannot be read, or cannot be arranged whatever it is played on, is left out and
    told. Raises Stopped.
    """
    rows, left_out = [], []
    named = list(pieces)
    for number, (name, read) in enumerate(named, 1):
        told = watch.saying(f"tune {number} of {len(named)}").within(seconds)
        try:
            rows.append(one_tune(read(), own, fretboards, told, every=every))
        except (Stopped, OutOfTime):
            raise
        except (TuneError, ArrangeError) as error:
            left_out.append((name, str(error)))
    return FretsAdvice(own, tuple(fretboards), tuple(rows), tuple(left_out))
