"""What one answer does in each played bar, counted so that other answers can stand beside it.

Whatever is counted belongs to the bar in which its moment begins; a move belongs to the moment that
it arrives at.

Public: Stroke, Side, sides_of.
"""

from dataclasses import dataclass, replace

from scoring.choice import Shapes
from scoring.difficulty import stretch_difficulty
from scoring.weights import Weights
from solver.result import Arrangement
from tune.key import pitch_in

MISSING, FADING = "-missing", "-fading"
"""How the terms of chord tones that nobody hears, and that only ring in the ear, are named."""


@dataclass(frozen=True)
class Stroke:
    """What is done at one moment. offset: ticks from the bar's start; frets: semitones above the
    nut, -1 for silence; fingers: numbers, -1 for none; struck: a flag a course; pitches: MIDI
    numbers, -1 for silence."""

    offset: int
    frets: tuple[int, ...]
    fingers: tuple[int, ...]
    struck: tuple[bool, ...]
    pitches: tuple[int, ...]


@dataclass(frozen=True)
class Side:
    """One answer in one played bar.

    strokes: its moments in order, none where the whole bar rings on; held: the stroke that rings
    on into the bar, None where it opens the tune; chords: their symbols in order; bass: the bass
    notes struck, by name, in order; terms: name → (amount, ms), zeros left out; cost: ms; shifts:
    times that the whole hand travels; barred: times that a finger is laid across strings anew;
    stretch: percent of the greatest stretch; missing, fading: chord tones that are missed, that
    only ring in the ear; difficulty: percent, see ``scoring.difficulty``.
    """

    bar: int
    strokes: tuple[Stroke, ...]
    held: Stroke | None
    chords: tuple[str, ...]
    bass: tuple[str, ...]
    terms: dict[str, tuple[int, int]]
    cost: int
    shifts: int
    barred: int
    stretch: int
    missing: tuple[str, ...]
    fading: tuple[str, ...]
    difficulty: int

    def at(self, offset: int) -> Stroke | None:
        """The stroke whose hands are there at that tick of the bar."""
        begun = [stroke for stroke in self.strokes if stroke.offset <= offset]
        return begun[-1] if begun else self.held


def sides_of(arrangement: Arrangement, weights: Weights | None = None) -> dict[int, Side]:
    """Played bar's number → its side, for every bar; weights: what amounts cost here, the
    arrangement's own where not given."""
    bill = arrangement.bill if weights is None else replace(arrangement.bill, weights=weights)
    rated = {bar.bar: bar for bar in arrangement.difficulty.bars}
    stretches = _stretches(arrangement)
    inside: dict[int, list[int]] = {bar.number: [] for bar in arrangement.tune.played}
    for index, moment in enumerate(arrangement.moments):
        inside[moment.bar].append(index)
    found: dict[int, Side] = {}
    held: Stroke | None = None
    tune = arrangement.tune
    for bar, indexes in inside.items():
        key = tune.bars[tune.played[bar - 1].written].key
        amounts: dict[str, int] = {}
        for index in indexes:
            for name, amount in bill.amounts[index].items():
                amounts[name] = amounts.get(name, 0) + amount
        strokes = tuple(_stroke(arrangement, index) for index in indexes)
        chords = [arrangement.moments[index].chord for index in indexes]
        own = rated.get(bar)
        symbols = dict.fromkeys("N.C." if chord is None else chord.symbol for chord in chords)
        found[bar] = Side(
            bar=bar,
            strokes=strokes,
            held=held,
            chords=tuple(symbols),
            bass=tuple(pitch_in(s.pitches[0], key) for s in strokes if s.struck[0]),
            terms={name: (many, many * bill.weights[name]) for name, many in amounts.items()},
            cost=sum(bill.at(index) for index in indexes),
            shifts=own.shifts if own else 0,
            barred=own.barred if own else 0,
            stretch=max((stretches[index] for index in indexes), default=0),
            missing=_tones(amounts, MISSING),
            fading=_tones(amounts, FADING),
            difficulty=own.rating if own else 0,
        )
        held = strokes[-1] if strokes else held
    return found


def _stroke(arrangement: Arrangement, index: int) -> Stroke:
    choice, moment = arrangement.choices[index], arrangement.moments[index]
    frets = choice.grip.frets
    pitches = tuple(
        arrangement.instrument.pitch(course, fret) if fret >= 0 else -1
        for course, fret in enumerate(frets)
    )
    return Stroke(moment.offset, frets, choice.grip.fingers, choice.struck, pitches)


def _tones(amounts: dict[str, int], ending: str) -> tuple[str, ...]:
    return tuple(
        name.removesuffix(ending) for name, many in amounts.items() if many and ending in name
    )


def _stretches(arrangement: Arrangement) -> list[int]:
    """For each moment the percent of the greatest stretch."""
    held = [(choice.grip, choice.struck) for choice in arrangement.choices]
    shapes = Shapes.of(held, arrangement.instrument, arrangement.hand)
    percents: list[int] = stretch_difficulty(shapes).tolist()
    return percents
