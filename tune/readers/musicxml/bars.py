"""From raw measures to the bars of a Tune: their lengths, ties, tempi and repeats.

A bar lasts as long as what is written in it. Short bars are as expected at the start, at the end
and at repeat signs (a pickup and its complement) or where the file calls them implicit; elsewhere
the user is told.

Public: assemble.
"""

from collections.abc import Sequence
from dataclasses import replace

from tune.errors import Place, TuneError
from tune.key import Key
from tune.readers.musicxml.measure import RawBar
from tune.readers.musicxml.notices import Notices
from tune.readers.musicxml.repeats import Repeats
from tune.time import Metre, Tempo, quarters
from tune.tune import Bar, ChordChange, Note


def assemble(
    raw: Sequence[RawBar], repeats: Sequence[Repeats], notices: Notices
) -> tuple[tuple[Bar, ...], Tempo | None]:
    """The bars, and the tempo at the start if there is one."""
    if not raw:
        raise TuneError("the part has no bars")
    if raw[0].metre is None:
        notices.add("no time signature at the start; taken as 4/4", raw[0].number)
    if raw[0].key is None:
        notices.add("no key signature at the start; taken as C major", raw[0].number)
    notes = _with_sound_ties(raw, repeats, notices)
    bars: list[Bar] = []
    opening: Tempo | None = None
    for index, bar in enumerate(raw):
        metre, signs = bar.metre or Metre(4, 4), repeats[index]
        tempo = _tempo(bar, notices)
        if index == 0:
            opening, tempo = tempo, None
        length = bar.extent or metre.bar
        _tell_odd_length(raw, repeats, index, length - metre.bar, notices)
        bars.append(
            Bar(
                bar.number,
                metre,
                length,
                bar.key or Key(),
                _chords(bar, length),
                notes[index],
                bar.section,
                signs.start or (index > 0 and repeats[index - 1].after_start),
                _times(repeats, index),
                signs.endings,
                tempo,
            )
        )
    return tuple(bars), opening


def _chords(bar: RawBar, length: int) -> tuple[ChordChange, ...]:
    for tick, chord in bar.chords.items():
        if not 0 <= tick < length:
            raise TuneError(
                f"the chord {chord or 'N.C.'} stands outside the bar; move it onto a beat",
                Place(bar=bar.number),
            )
    return tuple(ChordChange(tick, chord) for tick, chord in sorted(bar.chords.items(), key=_first))


def _first(pair: tuple[int, object]) -> int:
    return pair[0]


def _times(repeats: Sequence[Repeats], index: int) -> int:
    """How often the passage that ends with this bar is played, wherever the sign was put."""
    after = repeats[index + 1].before_times if index + 1 < len(repeats) else 1
    return max(repeats[index].times, after)


def _tempo(bar: RawBar, notices: Notices) -> Tempo | None:
    """The first tempo of the bar; one that comes later in it is taken from its start, and told."""
    if not bar.tempi:
        return None
    if bar.tempi[0][0] > 0 or len({tempo for _, tempo in bar.tempi}) > 1:
        notices.add("a tempo inside the bar taken from the start of the bar", bar.number)
    return bar.tempi[0][1]


def _tell_odd_length(
    raw: Sequence[RawBar],
    repeats: Sequence[Repeats],
    index: int,
    over: int,
    notices: Notices,
) -> None:
    """Tell a bar that is longer or shorter than its metre where nobody would expect it."""
    bar = raw[index]
    edge = (
        index in (0, len(raw) - 1)
        or repeats[index].start
        or _times(repeats, index) > 1
        or _times(repeats, index - 1) > 1
        or bool(repeats[index].endings)
        or repeats[index + 1].start
    )
    if over == 0 or bar.implicit or (over < 0 and edge):
        return
    far = abs(quarters(over))
    notices.add(
        f"the bar is {far} quarter{'s' * (far > 1)} {'longer' if over > 0 else 'shorter'} than its "
        "metre; taken as it is",
        bar.number,
    )


def _with_sound_ties(
    raw: Sequence[RawBar], repeats: Sequence[Repeats], notices: Notices
) -> list[tuple[Note, ...]]:
    """Each bar's notes in order; a tie to nothing or to another pitch is taken away, and told.

    A tie over a repeat sign or into an ending may lead to several places and is left alone.
    """
    notes = [sorted(bar.notes, key=lambda note: note.tick) for bar in raw]
    following: Note | None = None
    for index in reversed(range(len(raw))):
        last = len(notes[index]) - 1
        forks = _times(repeats, index) > 1 or (
            index + 1 < len(raw) and repeats[index + 1].endings != repeats[index].endings
        )
        for place in range(last, -1, -1):
            note = notes[index][place]
            if note.grace:
                continue
            lost = note.tied and (following is None or following.midi != note.midi)
            if lost and not (forks and (following is None or following.tick == 0)):
                notices.add("a tie that leads nowhere ignored", raw[index].number)
                notes[index][place] = replace(note, tied=False)
            following, forks = note, False
    return [tuple(bar) for bar in notes]
