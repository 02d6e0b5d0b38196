"""Every cost term, in the order they are listed: one table, one row a family.

Public: TERMS, and the same by what they look at: SHAPE_TERMS, STAND_TERMS, FINGER_TERMS,
HAND_TERMS, VOICE_TERMS, PAIR_TERMS, LINE_TERMS.
"""

from scoring.term import (
    FingerTerm,
    HandTerm,
    LineTerm,
    PairTerm,
    ShapeTerm,
    StandTerm,
    Term,
    VoiceTerm,
)
from scoring.terms import bass, chord, holding, melody, moving, ringing

TERMS: tuple[Term, ...] = (
    *moving.TERMS,
    *holding.TERMS,
    *bass.TERMS,
    *chord.TERMS,
    *ringing.TERMS,
    *melody.TERMS,
)
SHAPE_TERMS = tuple(term for term in TERMS if isinstance(term, ShapeTerm))
STAND_TERMS = tuple(term for term in TERMS if isinstance(term, StandTerm))
FINGER_TERMS = tuple(term for term in TERMS if isinstance(term, FingerTerm))
HAND_TERMS = tuple(term for term in TERMS if isinstance(term, HandTerm))
VOICE_TERMS = tuple(term for term in TERMS if isinstance(term, VoiceTerm))
PAIR_TERMS = tuple(term for term in TERMS if isinstance(term, PairTerm))
LINE_TERMS = tuple(term for term in TERMS if isinstance(term, LineTerm))
