"""What a reader takes where a file says nothing: so far, how fast a tune goes.

Public: usual_tempo.
"""

from tune.time import QUARTER, Metre, Tempo


def usual_tempo(metre: Metre) -> Tempo:
    """A moderate pace for a tune without a tempo of its own, counted in the metre's felt beats.

    100 quarter notes a minute in metres over 4; in all others the felt beat that comes nearest to
    it: 72 dotted quarters in 6/8, 72 half notes in 2/2, 120 eighths in 3/8. Common practice for a
    class, no source.
    """
    if metre.beat == QUARTER:
        return Tempo(metre.beat, 100)
    return Tempo(metre.beat, 72 if metre.beat > QUARTER else 120)
