"""What a tune, or all that a player plays, loses without an extra fret and gains with one more.

Every answer is solved and proven as ever. Where many tunes are asked about, a tune that a fret with
more proves of no use to is not solved again (``undersong.advice.at_least``): its row has the bound,
and what her own hands would cost there, instead. A new fret narrows the room behind the next one,
so a tune that makes nothing of it may cost more with it than without.

Public: one_tune, Outcome, Row, PLAYED, CANNOT, NO_EASIER, UNKNOWN.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fretboard.errors import FretboardError
from fretboard.instrument import Instrument
from scoring.evaluate import evaluate
from solver.errors import ConditionError, NotFound, NotPlayable, StyleError, Unfulfillable
from solver.result import PROVEN, Arrangement
from solver.watch import OutOfTime, Watch
from undersong.advice.at_least import at_least, may_be_bounded
from undersong.advice.fretboards import Fretboard
from undersong.advice.losses import Losses, losses
from undersong.advice.piece import Piece
from undersong.compare import side_by_side
from undersong.compared import bar_cell, changes, named_bars
from undersong.mends.mend import Kind

PLAYED, CANNOT, NO_EASIER, UNKNOWN = "played", "cannot be played", "no easier", "not known"

SIMPLE = (Kind.OCTAVE, Kind.CHORD, Kind.CHORDS)
"""Mends that leave instrument, hand and style as they are."""

MOST_MENDS = 3
MEND_SECONDS = 6.0


@dataclass(frozen=True)
class Outcome:
    """How a tune goes on one fretboard.

    kind: PLAYED, CANNOT, NO_EASIER (proven by a bound, not solved) or UNKNOWN (out of time); cost:
    ms asked of the answer, None without one; least, most: ms between which the best lies, None
    where nothing is known; proven: whether what is said is final; hardest, hardest_bar, median:
    the rating in percent, and where; differs: the bars that are played otherwise than on the
    player's own fretboard; changes: what of her bill falls and rises most; losses: what her own
    answer does not lose; why: why it cannot be played; mends: what would mend that, the cheapest
    first, and behind them whether there was no time for some.
    """

    kind: str
    cost: int | None = None
    least: int | None = None
    most: int | None = None
    proven: bool = True
    hardest: int | None = None
    hardest_bar: str = ""
    median: int | None = None
    differs: str = ""
    changes: str = ""
    losses: tuple[str, ...] = ()
    why: str = ""
    mends: tuple[str, ...] = ()


@dataclass(frozen=True)
class Row:
    """One tune. name: as the player named it; own: on her own fretboard; others: on the others, in
    their order."""

    name: str
    title: str
    own: Outcome
    others: tuple[Outcome, ...]

    @property
    def proven(self) -> bool:
        return all(outcome.proven for outcome in (self.own, *self.others))


def one_tune(
    piece: Piece,
    own: Instrument,
    others: Sequence[Fretboard],
    watch: Watch | None = None,
    *,
    every: bool = True,
    mends: bool = False,
) -> Row:
    """The piece on her own fretboard and on the others.

    every: solve it on each, even where a bound proves that nothing is gained; mends: say what
    would mend it where it can no longer be played. Raises Stopped, and ArrangeError for a tune or
    settings with which nothing can be arranged.
    """
    watch = Watch() if watch is None else watch
    found = _answered(piece, own, watch.saying("as it is"), strict=True)
    mine = _told(found, None)
    settled: dict[int, Outcome] = {}
    more = [place for place, other in enumerate(others) if not other.taken]
    if isinstance(found, Arrangement):
        if not every:
            settled = _bounded(piece, own, others, more, found, watch)
    elif isinstance(found, str):
        settled = _hopeless(piece, own, others, more, watch)
    outcomes = []
    for place, other in enumerate(others):
        outcome = settled.get(place)
        if outcome is None:
            told = watch.saying(other.words)
            there = _answered(piece, other.instrument, told)
            outcome = _told(there, found if isinstance(found, Arrangement) else None)
            if mends and other.taken and outcome.kind == CANNOT and mine.kind == PLAYED:
                outcome = replace(outcome, mends=_mends(piece, other.instrument, told))
        outcomes.append(outcome)
    return Row(piece.name, piece.tune.title, mine, tuple(outcomes))


def _answered(
    piece: Piece, instrument: Instrument, watch: Watch, *, strict: bool = False
) -> Arrangement | str | None:
    """The answer; why there is none; None where the time ended before that was known. strict: it is
    a fault in what was asked, and raised, where a pin or a setting cannot be."""
    try:
        return piece.session(instrument).arrange(piece.weights, piece.conditions, watch=watch)
    except (NotPlayable, Unfulfillable) as error:
        return str(error)
    except (ConditionError, StyleError, FretboardError) as error:
        if strict:
            raise
        return str(error)
    except (OutOfTime, NotFound):
        return None


def _told(found: Arrangement | str | None, own: Arrangement | None) -> Outcome:
    """The answer as an outcome; own: what it is held against, None for her own."""
    if found is None:
        return Outcome(UNKNOWN, proven=False)
    if isinstance(found, str):
        return Outcome(CANNOT, why=found)
    rating, proof = found.difficulty, found.proof
    bar = max(rating.by_bar, key=lambda number: rating.by_bar[number])
    outcome = Outcome(
        PLAYED,
        found.asked_cost,
        proof.bound,
        found.asked_cost,
        proof.status == PROVEN,
        hardest=rating.by_bar[bar],
        hardest_bar=bar_cell(found.tune, (bar,)),
        median=rating.median,
    )
    if own is None:
        return replace(outcome, losses=losses(found).words())
    comparison = side_by_side((own, found))
    bars = tuple(row.bar for row in comparison.rows if row.played_otherwise)
    before, after = losses(own), losses(found)
    lost = Losses(
        tuple(tone for tone in after.tones if tone not in before.tones),
        tuple(note for note in after.notes if note not in before.notes),
        tuple(bar for bar in after.low if bar not in before.low),
    )
    return replace(
        outcome,
        differs=named_bars(found.tune, bars) if bars else "",
        changes=changes(own, found),
        losses=lost.words(),
    )


def _bounded(
    piece: Piece,
    own: Instrument,
    others: Sequence[Fretboard],
    more: Sequence[int],
    found: Arrangement,
    watch: Watch,
) -> dict[int, Outcome]:
    """Place → outcome of those fretboards with more frets that are proven of no use."""
    asked = [p for p in more if may_be_bounded(piece, own, others[p].instrument)]
    if not asked or found.proof.status != PROVEN:
        return {}
    instruments = [others[place].instrument for place in asked]
    try:
        bounds = at_least(piece, own, instruments, watch.saying("with more frets"))
    except OutOfTime:
        return {}
    settled = {}
    for place, instrument, least in zip(asked, instruments, bounds, strict=True):
        if least < found.asked_cost:
            continue
        same = evaluate(found.choices, found.moments, instrument, piece.hand, piece.weights).total
        cost = same if same == least else None
        settled[place] = Outcome(NO_EASIER, cost, least, same)
    return settled


def _hopeless(
    piece: Piece,
    own: Instrument,
    others: Sequence[Fretboard],
    more: Sequence[int],
    watch: Watch,
) -> dict[int, Outcome]:
    """Place → outcome where a tune that her own cannot play is not played with all frets either:
    what a fretboard cannot do, one with fewer frets cannot."""
    if len(more) < 2:
        return {}
    last = more[-1]
    widest = others[last].instrument
    inside = [
        place
        for place in more
        if _is_within(others[place].instrument, widest)
        and may_be_bounded(piece, own, others[place].instrument)
    ]
    if last not in inside:
        return {}
    there = _answered(piece, widest, watch.saying(others[last].words))
    if not isinstance(there, str):
        return {last: _told(there, None)} if isinstance(there, Arrangement) else {}
    not_even = Outcome(CANNOT, why=f"not even {others[last].words}: {there}")
    return {place: replace(not_even, why=there) if place == last else not_even for place in inside}


def _is_within(one: Instrument, other: Instrument) -> bool:
    """Whether the other has every fret of the one."""
    pairs = zip(one.courses, other.courses, strict=True)
    return all(set(mine.frets) <= set(theirs.frets) for mine, theirs in pairs)


def _mends(piece: Piece, instrument: Instrument, watch: Watch) -> tuple[str, ...]:
    from undersong.mends import mends_of

    session = piece.session(instrument)
    some = watch.within(MEND_SECONDS)
    try:
        clash = session.clash(piece.conditions, piece.weights, some)
        if clash is None:
            return ()
        wanted = session.wanted(piece.conditions)
        found = mends_of(wanted, clash, piece.weights, some, only=SIMPLE)
    except OutOfTime:
        return ("there was no time to look for any",)
    return found.told(MOST_MENDS)
