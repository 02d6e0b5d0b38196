"""What a solo asks: the melody kept, the song's bass and strums fitted around it.

Public: solo_asks, with_melody, edges.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product

from solver.style import Style
from tune.tune import Tune
from undersong.check.ask import Ask, Strings
from undersong.check.asks_song import bar_at, song_asks
from undersong.check.clock import BarTime, ChordTime
from undersong.check.melody import Sounded, melody_at, melody_of


def solo_asks(tune: Tune, style: Style, courses: int, bars: tuple[BarTime, ...]) -> tuple[Ask, ...]:
    """The song's asks that concern other strings than the last, and all that the melody asks."""
    notes = melody_of(tune, style.graces)
    kept: list[Ask] = []
    stays: list[ChordTime] = []
    for ask in song_asks(tune, style, courses, bars):
        if not stays or stays[-1] is not ask.time:
            stays.append(ask.time)
        others = any(ask.pattern[:-1])
        if others or ask.bass is not None or ask.time.chord is None:
            kept.append(replace(ask, pattern=(*ask.pattern[:-1], False)))
    judged = {ask.tick for ask in _judged(kept, _full_strums(tune, style, courses, bars))}
    known = {ask.tick: ask for ask in kept}
    for tick in edges(notes, bars[-1].end):
        if tick not in known:
            stay = next(stay for stay in stays if stay.start <= tick < stay.end)
            known[tick] = Ask(tick, bar_at(bars, tick), stay, None, (False,) * courses)
    return tuple(
        with_melody(replace(known[tick], judged=tick in judged), notes) for tick in sorted(known)
    )


def edges(notes: Iterable[Sounded], end: int) -> set[int]:
    """Where notes begin, and where they end and no other follows."""
    begin = {note.start for note in notes}
    return begin | {note.end for note in notes if note.end not in begin and note.end < end}


def _full_strums(
    tune: Tune, style: Style, courses: int, bars: tuple[BarTime, ...]
) -> frozenset[int]:
    """Ticks where the pattern strikes every string above the bass."""
    asks = song_asks(tune, style, courses, bars)
    return frozenset(ask.tick for ask in asks if ask.time.chord and all(ask.pattern[1:]))


def _judged(asks: list[Ask], full: frozenset[int]) -> Iterator[Ask]:
    """At full strums, and at the last of single strokes before the bass comes anew."""
    for ask, after in zip(asks, [*asks[1:], None], strict=True):
        if ask.time.chord is None or not any(ask.pattern[1:]):
            continue
        last = after is None or after.time is not ask.time or after.bass is not None
        if ask.tick in full or last or (after is not None and not any(after.pattern[1:])):
            yield ask


def with_melody(ask: Ask, notes: tuple[Sounded, ...]) -> Ask:
    """The ask with the melody note that sounds there, and all that may be struck around it."""
    note = melody_at(notes, ask.tick)
    made = replace(
        ask, melody=note.midi if note else None, sings=note is not None and note.start == ask.tick
    )
    return replace(made, sets=tuple(dict.fromkeys(_sets(made))))


def _sets(ask: Ask) -> Iterator[Strings]:
    """What is asked first; then every set with its carrier, thinned or not."""
    courses = len(ask.pattern)
    asked = ask.bass is not None and not ask.bass.optional
    optional = ask.again or (ask.bass is not None and ask.bass.optional)
    yield (asked, *ask.pattern[1:])
    thinned = tuple(product(*((False, True) if struck else (False,) for struck in ask.pattern[1:])))
    if ask.time.chord is None:
        thinned = ((False,) * (courses - 1),)
    for upper in thinned:
        basses = (False, True) if optional else (asked,)
        if not ask.sings:
            held_by_bass = ask.melody is not None
            for bass in {*basses, *([False] if held_by_bass else [])}:
                yield (bass, *upper)
            continue
        yield (True, *upper)
        for carrier in range(1, courses):
            with_it = tuple(on or course == carrier for course, on in enumerate(upper, start=1))
            for bass in basses:
                yield (bass, *with_it)
