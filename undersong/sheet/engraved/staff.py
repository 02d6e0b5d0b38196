"""The notes of a bar's staff, before they become MEI: pitches, spellings, accidentals, ties, words.

Public: Sounding, StaffBar, staff_bars.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from tune.key import Key, note_name, octave_of
from tune.time import QUARTER
from undersong.sheet.engraved.score import Score, ScoreBar
from undersong.sheet.rhythm import Stem, bar_stems
from undersong.sheet.verses import sung_words

_SHARPS = "FCGDAEB"


@dataclass(frozen=True)
class Sounding:
    """One note of the staff as it lies in the bar (ticks). name: without octave, such as F#;
    octave: 4 begins at middle C; sign: the accidental that is printed (``s f n``) or empty; from_,
    on: tied to the note before, to the next; words: a syllable a verse; held: the verses, from 0,
    whose word goes on over the notes after it; graces: (name, octave) of the small notes before
    it; short: damped; struck: plucked anew, so that no tie leads to it; over: rings on
    from a bar that does not stand before it on paper, or not every time, so that none can."""

    tick: int
    length: int
    midi: int
    name: str
    octave: int
    sign: str = ""
    from_: bool = False
    on: bool = False
    words: tuple[str, ...] = ()
    held: frozenset[int] = frozenset()
    graces: tuple[tuple[str, int], ...] = ()
    short: bool = False
    struck: bool = False
    over: bool = False


@dataclass(frozen=True)
class StaffBar:
    """notes: in order; stems: how they are written, events counted in them."""

    notes: tuple[Sounding, ...]
    stems: tuple[Stem, ...]


def staff_bars(score: Score) -> tuple[StaffBar, ...]:
    """Every bar's staff; ties are joined from each printed bar to the next."""
    made = [list(_melody(score, b) if score.sung else _bass(score, b)) for b in score.bars]
    made = _with_holds(score, made) if score.sung else made
    tied: int | None = None
    bars: list[StaffBar] = []
    for index, (bar, notes) in enumerate(zip(score.bars, made, strict=True)):
        goes_on = index + 1 < len(made) and (score.sung or _always_next(score, index))
        following = made[index + 1][:1] if goes_on else []
        known = dict(_signature(bar.bar.key))
        state: dict[tuple[str, int], str] = {}
        done: list[Sounding] = []
        for at, note in enumerate(notes):
            ahead = [*notes[at + 1 : at + 2], *(following if at + 1 == len(notes) else [])]
            joined = bool(ahead) and note.on and ahead[0].midi == note.midi
            joined = joined and not ahead[0].struck
            touching = at + 1 == len(notes) or note.tick + note.length == notes[at + 1].tick
            from_ = tied == note.midi
            sign = "" if from_ and at == 0 else _sign(note, known, state)
            over = not (score.sung or note.struck or from_)
            done.append(replace(note, from_=from_, on=joined and touching, sign=sign, over=over))
            tied = note.midi if joined and touching else None
        if not notes:
            tied = None
        spans = [(note.tick, note.length) for note in done]
        bars.append(StaffBar(tuple(done), bar_stems(spans, bar.bar, bar.sheet.lead)))
    return tuple(bars)


def _always_next(score: Score, index: int) -> bool:
    """Whether the next printed bar is played after this one every time, so that a tie between them
    is true."""
    here, after = score.bars[index].sheet, score.bars[index + 1].sheet
    return not after.opens and all(number + 1 in after.passes for number in here.passes)


def _with_holds(score: Score, made: list[list[Sounding]]) -> list[list[Sounding]]:
    """The notes, knowing which words are held: over notes straight after them that have no word
    in any verse, into the next bar at most, before a note at which the verse goes on."""
    flat = [(index, note) for index, notes in enumerate(made) for note in notes]
    held: dict[int, frozenset[int]] = {}
    for at, (here, note) in enumerate(flat):
        run = [(here, note)]
        for there, after in flat[at + 1 :]:
            index, before = run[-1]
            end = before.tick + before.length
            end -= score.bars[index].bar.length if there != index else 0
            if any(after.words) or there - index > 1 or end != after.tick:
                break
            run.append((there, after))
        follows = flat[at + len(run)][1].words if at + len(run) < len(flat) else note.words
        if len(run) == 1 or run[-1][0] - here > 1:
            continue
        held[id(note)] = frozenset(
            verse
            for verse, word in enumerate(note.words)
            if word.strip() and not word.strip().endswith("-") and any(follows[verse : verse + 1])
        )
    return [
        [replace(note, held=held.get(id(note), frozenset())) for note in notes] for notes in made
    ]


def _melody(score: Score, bar: ScoreBar) -> Iterator[Sounding]:
    """The tune's own notes."""
    tune, folding = score.arrangement.tune, score.folding
    small: list[tuple[str, int]] = []
    for note in bar.bar.notes:
        if note.midi is None:
            small = []
            continue
        name = note.name or note_name(note.midi % 12, bar.bar.key)
        octave = octave_of(note.midi, name)
        if note.grace:
            small.append((name, octave))
            continue
        yield Sounding(
            note.tick, note.length, note.midi, name, octave,
            on=note.tied, words=sung_words(tune, folding, bar.sheet, note.lyrics),
            graces=tuple(small),
        )  # fmt: skip
        small = []


def _bass(score: Score, bar: ScoreBar) -> Iterator[Sounding]:
    """The bass string's notes, each as long as it sounds; one that rings into the bar is tied to
    the bar before."""
    instrument = score.arrangement.instrument
    hits = bar.hits
    sights = bar.sheet.seen
    at = 0
    while at < len(hits):
        string = sights[at].strings[0]
        struck = _struck(bar, at)
        rings = at == 0 and string is not None and bar.entering[0] and hits[0].sounding[0]
        if string is None or not (struck or rings):
            at += 1
            continue
        end = at + 1
        if hits[at].sounding[0]:
            while end < len(hits) and hits[end].sounding[0] and not _struck(bar, end):
                end += 1
        until = hits[end].tick if end < len(hits) else bar.bar.length
        midi = instrument.pitch(0, string[0])
        name = note_name(midi % 12, bar.bar.key)
        damped = sights[at].damped
        length = min(until - hits[at].tick, QUARTER) if damped else until - hits[at].tick
        last = until == bar.bar.length and not damped and hits[-1].sounding[0]
        yield Sounding(
            hits[at].tick, length, midi, name, octave_of(midi, name),
            on=last, short=damped, struck=struck,
        )  # fmt: skip
        at = end


def _struck(bar: ScoreBar, at: int) -> bool:
    string = bar.sheet.seen[at].strings[0]
    return string is not None and string[2]


def _signature(key: Key) -> Iterator[tuple[str, str]]:
    """(letter, sign) of the key's signature."""
    order = _SHARPS if key.fifths > 0 else _SHARPS[::-1]
    for letter in order[: abs(key.fifths)]:
        yield letter, "s" if key.fifths > 0 else "f"


def _sign(note: Sounding, known: dict[str, str], state: dict[tuple[str, int], str]) -> str:
    """The accidental to print, if any, and what the bar knows from here on."""
    wanted = "s" * note.name.count("#") + "f" * note.name.count("b") or "n"
    place = note.name[0], note.octave
    before = state.get(place, known.get(note.name[0], "n"))
    state[place] = wanted
    return "" if wanted == before else wanted
