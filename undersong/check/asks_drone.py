"""What a drone asks: the melody on the last string, every string on the beats.

Public: drone_asks.
"""

from solver.style import Style
from tune.chord import Chord
from tune.tune import Tune
from undersong.check.ask import Ask, Bass
from undersong.check.asks_solo import edges
from undersong.check.asks_song import bar_at
from undersong.check.clock import BarTime, ChordTime
from undersong.check.melody import melody_at, melody_of


def drone_asks(
    tune: Tune, style: Style, courses: int, bars: tuple[BarTime, ...]
) -> tuple[Ask, ...]:
    """One stay on the tonic's open fifth; something begins with every note and every rest."""
    notes = melody_of(tune, style.graces)
    end = bars[-1].end
    stay = ChordTime(0, end, Chord(tune.key.tonic, "5"), bars, None)
    asks = []
    for tick in sorted({0} | edges(notes, end)):
        bar, note = bar_at(bars, tick), melody_at(notes, tick)
        sings = note is not None and note.start == tick
        on_beat = (tick - bar.beat(0)) % bar.metre.beat == 0  # the pulse of a long bar goes on
        everything = sings and (on_beat or tick == notes[0].start)
        pattern = ((everything,) * (courses - 1)) + (sings,)
        bass = Bass(frozenset({"drone"})) if everything else None
        midi = note.midi if note else None
        asks.append(Ask(tick, bar, stay, bass, pattern, melody=midi, sings=sings, sets=(pattern,)))
    return tuple(asks)
