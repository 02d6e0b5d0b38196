"""A cadence of a key's own primary chords, invented here: what a player must have to play along.

Public: cadence, CADENCE_TEMPO.
"""

from scoring.harmony_modes import DOMINANT, OTHER, PLAGAL, offers
from tune.key import Key
from tune.time import QUARTER, Metre, Tempo
from tune.tune import Bar, ChordChange, Tune

CADENCE_TEMPO = 100
"""Quarter notes a minute."""

_METRE = Metre(4, 4)


def cadence(key: Key, per_minute: int = CADENCE_TEMPO) -> Tune:
    """A bar each of the tonic, of the mode's other primary chords (those that lead to the tonic
    last, the dominant's after the softer), and of the tonic again, in 4/4."""
    primary = [offer for offer in offers(key, ()) if offer.rank == 0]
    tonic = primary[0].chord
    inside = [o.chord for part in (OTHER, PLAGAL, DOMINANT) for o in primary if o.part == part]
    bars = tuple(
        Bar(number, _METRE, _METRE.bar, key, (ChordChange(0, chord),))
        for number, chord in enumerate((tonic, *inside, tonic), 1)
    )
    return Tune(f"Cadence in {key}", key, _METRE, Tempo(QUARTER, per_minute), bars)
