"""Every cost term, in the order they are listed: one table, one row a family."""

from scoring.term import LineTerm, MoveTerm, StandTerm, Term
from scoring.terms import bass, chord, holding, moving, ringing

TERMS: tuple[Term, ...] = (
    *moving.TERMS,
    *holding.TERMS,
    *bass.TERMS,
    *chord.TERMS,
    *ringing.TERMS,
)
STAND_TERMS = tuple(term for term in TERMS if isinstance(term, StandTerm))
MOVE_TERMS = tuple(term for term in TERMS if isinstance(term, MoveTerm))
LINE_TERMS = tuple(term for term in TERMS if isinstance(term, LineTerm))
