"""What the tests of proposed chords share: bundled tunes, tunes of bars, and a price left out.

Public: COMMON, NO_CADENCE, bundled, tune_of, symbols, NAMES.
"""

import corpus
from scoring.harmony_weights import HarmonyWeights
from solver.proposal import Proposal
from tune.readers import read
from tune.time import QUARTER, Metre, Tempo
from tune.tune import Bar, Tune

COMMON = Metre(4, 4)
NAMES = [name for name in corpus.names() if corpus.path(name).suffix != ".chart"]

NO_CADENCE = HarmonyWeights.of({"approach": 0})


def bundled(name: str) -> Tune:
    return read(str(corpus.path(name)))


def tune_of(*bars: Bar) -> Tune:
    first = bars[0]
    return Tune("Test", first.key, first.metre, Tempo(QUARTER, 100), bars)


def symbols(found: Proposal) -> list[str]:
    return [str(chord) for chord in found.chords]
