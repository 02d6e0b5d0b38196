"""Which verses stand under the notes of a printed bar.

Public: sung_words.
"""

from tune.tune import Tune
from undersong.sheet.folding import Folding, SheetBar


def sung_words(
    tune: Tune, folding: Folding, bar: SheetBar, words: tuple[str, ...]
) -> tuple[str, ...]:
    """The verses under a note. Where a passage is written out and has as many verses as times,
    each time has its own."""
    out = [p for p in folding.written_out if p.first <= bar.written <= p.last]
    if not out:
        return words
    inside = range(out[0].first, out[0].last + 1)
    turns = {played.turn for played in tune.played if played.written in inside}
    notes = [n for at in inside if not tune.bars[at].endings for n in tune.bars[at].notes]
    if max((len(note.lyrics) for note in notes), default=0) != len(turns) or len(turns) == 1:
        return words
    turn = tune.played[bar.passes[0] - 1].turn
    if tune.bars[bar.written].endings:
        return tuple(word for word in words if word.strip())[-1:]
    return words[turn - 1 : turn]
