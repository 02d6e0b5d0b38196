"""Moments of a solo: the melody kept note for note, chords and bass fitted around it.

A moment begins with each melody note, where a note ends before a rest, with the manner's bass
strokes, and where the pattern strikes any string but the last, which is the melody's. The melody
may lie on any string, so ``strikes`` holds every set of strings that some carrier makes possible;
``solver.singing`` says which of them a shape may have.

Public: solo_moments, melody_ticks.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import compress, product

from scoring.moment import Moment, Strokes
from solver.onsets import Onset, Setting, judging, leading
from solver.spans import Span, stays_of
from solver.style import Style
from tune.melody import Sung, sung, sung_at
from tune.tune import Tune


def solo_moments(tune: Tune, style: Style, spans: list[Span], courses: int) -> tuple[Moment, ...]:
    """Every moment of the tune as played, in order, without gaps from the first bar's start."""
    notes = sung(tune, style.graces)
    setting = Setting(tune, spans, style, courses)
    around = judging(_around(setting.onsets(stays_of(tune, spans, style))))
    onsets = leading(list(_with_melody(around, notes, spans[-1].end)))
    melody = [sung_at(notes, onset.tick) for onset in onsets]
    strikes = [_strikes(onset, note) for onset, note in zip(onsets, melody, strict=True)]
    moments = setting.moments(onsets, strikes)
    rows = zip(moments, onsets, melody, strict=True)
    return tuple(_singing(moment, onset, note) for moment, onset, note in rows)


def melody_ticks(notes: tuple[Sung, ...], end: int) -> set[int]:
    """Where notes begin, and where they end before a rest; end: of the tune."""
    return {note.tick for note in notes} | {
        note.end for note in notes if note.end < end and sung_at(notes, note.end) is None
    }


def _around(onsets: list[Onset]) -> list[Onset]:
    """The onsets at which anything but the last string is asked for, strokes of the last string
    alone left out of the pattern."""
    told = [
        onset if any(onset.pattern[:-1]) else replace(onset, pattern=(False,) * len(onset.pattern))
        for onset in onsets
    ]
    return [
        onset
        for onset in told
        if onset.stay is None or onset.bass is not None or any(onset.pattern)
    ]


def _with_melody(onsets: list[Onset], notes: tuple[Sung, ...], end: int) -> Iterator[Onset]:
    """The same with those that the melody adds, at which nothing else is asked for."""
    extra = sorted(melody_ticks(notes, end) - {onset.tick for onset in onsets})
    for onset, after in zip(onsets, [*onsets[1:], None], strict=True):
        yield onset
        silent = (False,) * len(onset.pattern)
        while extra and (after is None or extra[0] < after.tick):
            yield replace(onset, tick=extra.pop(0), bass=None, pattern=silent, judged=False)


def _strikes(onset: Onset, note: Sung | None) -> tuple[Strokes, ...]:
    """What may be struck: as asked, the carrier left aside, first; then, where the bass is
    optional, the same with it."""
    last = len(onset.pattern) - 1
    upper = tuple(compress(range(1, last), onset.pattern[1:last]))
    asked = onset.bass is not None and not onset.bass.optional
    may = onset.pattern[0] or (onset.bass is not None and onset.bass.optional)
    basses = (True,) if asked else (False, True) if may else (False,)
    sings = note is not None and note.tick == onset.tick
    sets = [
        frozenset(compress(upper, mask)) | ({0} if bass else set())
        for mask in product((True, False), repeat=len(upper))
        for bass in basses
    ]
    first = sets[: len(basses)]
    if onset.stay is None:
        first, sets = [frozenset()], [frozenset()]
    if sings:
        carriers = range(last, -1, -1)
        sets = first + [struck | {carrier} for carrier in carriers for struck in sets]
    elif note is not None and asked and onset.stay is not None:
        sets += [struck - {0} for struck in sets]  # the bass string itself may hold the note
    return tuple(
        tuple(course in struck for course in range(last + 1)) for struck in dict.fromkeys(sets)
    )


def _singing(moment: Moment, onset: Onset, note: Sung | None) -> Moment:
    """The moment with its melody. The bass may always be the open string instead, and carry the
    melody itself unless the palm damps it; nothing makes it ring on, and it need not move where
    one note alone will do."""
    chord = moment.chord is not None
    carries = {"melody"} if note is not None and not moment.damped else set()
    plays = (*moment.plays[:-1], chord and note is not None)
    return replace(
        moment,
        texture="solo",
        melody=None if note is None else note.midi,
        sings=note is not None and note.tick == onset.tick,
        moves=moment.moves and len(moment.roles) > 1,
        rings=False,
        plays=plays,
        fallback=moment.fallback | carries | ({"drone"} if chord else set()),
    )
