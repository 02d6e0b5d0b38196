"""Random tunes, instruments, hands, styles and weights, small enough to be counted out in full.

``tiny`` instances have a handful of choices a moment, so that every sequence of choices can be
written down; ``small`` ones are for graphs that a general-purpose solver can take whole. Each is
made from a seed alone and always the same. ``tiny_again`` and ``small_again`` have music that comes
again: copies of bars, sections of one name, repeat signs, endings.

Public: Instance, tiny, small, tiny_again, small_again.
"""

import random
from dataclasses import dataclass, replace

from fretboard.hand import FINGERS, Hand, Movement
from fretboard.instrument import Course, Instrument
from scoring.terms import TERMS
from scoring.weights import Weights
from solver.righthand import STRINGS, RightHand, Stroke, right_hand, right_hands
from solver.style import Style, manners_in
from tune.chord import QUALITIES, Chord
from tune.key import MODES, Key
from tune.time import QUARTER, Metre, Tempo
from tune.tune import Bar, ChordChange, Note, Tune

NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
METRES = ((2, 2), (2, 4), (3, 4), (4, 4), (6, 8), (9, 8), (12, 8))
DIATONIC = (2, 4, 5, 7, 9, 10, 12, 14, 16, 17)
EXTRAS = (1, 3, 6, 8, 11, 13, 15)
WANDERING = {"foreign-bass": 0, "bass-leap": 60, "bass-still": 400, "broken-run": 200}
"""Weights under which a bass would rather walk through foreign notes than leap or stand still."""

PLAIN = ("", "", "", "m", "5", "7")


@dataclass(frozen=True)
class Instance:
    """One case; its fields are the first arguments of ``solver.search.search``, in order."""

    tune: Tune
    instrument: Instrument
    hand: Hand
    style: Style
    weights: Weights

    @property
    def asked(self) -> tuple[Tune, Instrument, Hand, Style, Weights]:
        return self.tune, self.instrument, self.hand, self.style, self.weights


def tiny(seed: int) -> Instance:
    """A case with few choices: one or two fingers, frets near the nut, one or two bars."""
    dice = random.Random(f"tiny {seed}")
    return _instance(dice, bass=(2, 7), upper=(1, 4), fingers=(1, 2), bars=(1, 2))


def small(seed: int) -> Instance:
    """A case with some hundred states: two or three fingers, an octave at most, to three bars."""
    dice = random.Random(f"small {seed}")
    return _instance(dice, bass=(4, 9), upper=(3, 8), fingers=(2, 3), bars=(1, 3))


def tiny_again(seed: int) -> Instance:
    """A case with very few choices, of one or two bars and what comes again of them."""
    dice = random.Random(f"tiny again {seed}")
    case = _instance(dice, bass=(2, 5), upper=(1, 4), fingers=(1, 2), bars=(1, 2))
    return _again(dice, case)


def small_again(seed: int) -> Instance:
    """A case with some dozens of states, of one or two bars and what comes again of them."""
    dice = random.Random(f"small again {seed}")
    case = _instance(dice, bass=(4, 7), upper=(2, 5), fingers=(2, 3), bars=(1, 2))
    return _again(dice, case)


def _again(dice: random.Random, case: Instance) -> Instance:
    """The case with bars that come again, in one of the ways that a page has for it."""
    bars = list(case.tune.bars)
    way = dice.choice(("copy", "copy", "signs", "endings", "between"))
    if way == "copy":
        bars = bars * (2 if len(bars) > 1 else dice.randint(2, 3))
    elif way == "between":
        bars = [bars[0], *bars[1:], bars[0]]
    elif way == "signs":
        bars[-1] = replace(bars[-1], repeat_times=2 if len(bars) > 1 else dice.randint(2, 3))
    else:
        first, second = bars[-1], dice.choice(bars)
        bars[-1:] = [
            replace(first, endings=(1,), repeat_times=2),
            replace(second, endings=(2,), repeat_times=1),
        ]
    if way == "copy" and dice.random() < 0.3:
        bars = bars[: len(bars) - dice.randint(0, 1)]
    metre = bars[-1].metre
    named = dice.choice(("", "", "A", "AA", "AB", "ABA"))
    number = 0 if bars[0].length < bars[0].metre.bar and dice.random() < 0.5 else 1
    made = []
    for index, bar in enumerate(bars):
        section = bar.section
        if named and index * len(named) // len(bars) != (index - 1) * len(named) // len(bars):
            section = named[index * len(named) // len(bars)]
        notes = (Note(0, bar.length, 62, "D"),) if dice.random() < 0.1 else ()
        made.append(replace(bar, number=number + index, section=section, notes=notes))
    if way in ("copy", "between") and dice.random() < 0.1:
        made.append(Bar(number + len(made), metre, metre.bar, case.tune.key))
    return replace(case, tune=replace(case.tune, bars=tuple(made)))


def _instance(
    dice: random.Random,
    bass: tuple[int, int],
    upper: tuple[int, int],
    fingers: tuple[int, int],
    bars: tuple[int, int],
) -> Instance:
    instrument = _instrument(dice)
    style = Style(
        manner=dice.choice([*manners_in("song"), "walking", "free", "walking", "runs"]),
        right_hand=_right_hand(dice),
        no_chord=dice.choice(("rest", "carry")),
        bass_ceiling=dice.randint(*bass),
        highest=dice.randint(*upper),
        bass_lowest=dice.random() < 0.8,
    )
    tune = _tune(dice, instrument, style, dice.randint(*bars))
    return Instance(tune, instrument, _hand(dice, fingers), style, _weights(dice))


def _instrument(dice: random.Random) -> Instrument:
    bass = dice.randint(40, 57)
    ups = (0, 4, 5, 7, 7, 7, 9, 10, 12)
    opens = [bass, bass + dice.choice(ups), bass + dice.choice((5, 7, 9, 10, 12, 12, 12))]
    if dice.random() < 0.2:
        opens.append(opens[-1] + dice.choice((0, 0, 2)))
    if dice.random() < 0.1:
        opens[1] = bass - dice.randint(1, 5)
    extras = {fret for fret in EXTRAS if dice.random() < 0.3}
    base = {fret for fret in DIATONIC if dice.random() < 0.9} | {12}
    courses = []
    for pitch in opens:
        own = {fret for fret in EXTRAS if dice.random() < 0.1}
        courses.append(Course(pitch, tuple(sorted(base | extras | own))))
    capo = dice.choice(sorted(base)[:3]) if dice.random() < 0.2 else 0
    return Instrument(
        "drawn by lot",
        tuple(courses),
        scale_mm=dice.choice((600.0, 686.0, 700.5)),
        spacing_mm=dice.choice((9.0, 16.0, 20.25)),
        capo=capo,
    )


def _hand(dice: random.Random, fingers: tuple[int, int]) -> Hand:
    used = dice.sample(FINGERS, dice.randint(*fingers))
    movement = Movement()
    if dice.random() < 0.4:
        movement = Movement(
            hand_a=dice.randint(0, 100),
            hand_b=dice.randint(0, 200),
            finger_a=dice.randint(0, 60),
            finger_b=dice.randint(0, 150),
            flex_mm=dice.randint(0, 40),
            release_percent=dice.randint(0, 100),
        )
    greatest = {(1, 2): dice.randint(450, 900)} if dice.random() < 0.2 else {}
    return Hand(
        name="drawn by lot",
        span_mm=dice.randint(160, 300),
        may_bar="".join(finger for finger in FINGERS if dice.random() < 0.6),
        not_used="".join(finger for finger in FINGERS if finger not in used),
        movement=movement,
        comfortable={(1, 2): 300} if greatest else {},
        greatest=greatest,
    )


def _right_hand(dice: random.Random) -> RightHand:
    if dice.random() < 0.7:
        return right_hand(dice.choice(list(right_hands())).name)
    bars = []
    for metre in (Metre(*pair) for pair in METRES):
        ticks = sorted(dice.sample(range(1, metre.bar // (QUARTER // 2)), dice.randint(0, 2)))
        strokes = [Stroke(0, dice.choice(("bass", "bass+upper")))]
        strokes += [Stroke(tick * QUARTER // 2, dice.choice(STRINGS)) for tick in ticks]
        bars.append((metre, tuple(strokes)))
    return RightHand("drawn by lot", "", dice.random() < 0.3, tuple(bars))


def _weights(dice: random.Random) -> Weights:
    kind = dice.random()
    if kind < 0.2:
        return Weights()
    changed = {name: value for name, value in WANDERING.items() if kind > 0.6}
    for term in TERMS:
        if dice.random() < 0.3:
            most = min(2 * term.about.default + 20, term.about.limit)
            changed[term.about.name] = dice.choice((0, dice.randint(0, most)))
    return Weights.of(changed)


def _tune(dice: random.Random, instrument: Instrument, style: Style, count: int) -> Tune:
    key = Key(dice.choice(("C", "D", "E", "G", "A", "F", "Bb", "B")), dice.choice(list(MODES)[:4]))
    metre = Metre(*dice.choice(METRES))
    tempo = Tempo(QUARTER, dice.randint(40, 300))
    bars = []
    for number in range(1, count + 1):
        if number > 1 and dice.random() < 0.1:
            metre = Metre(*dice.choice(METRES))
        length = metre.bar
        if number == 1 and count > 1 and dice.random() < 0.2 and metre.felt_beats > 1:
            length = metre.beat * dice.randint(1, metre.felt_beats - 1)
        bars.append(
            Bar(
                number=number,
                metre=metre,
                length=length,
                key=key if dice.random() < 0.9 else Key("D", "dorian"),
                chords=_changes(dice, instrument, style, metre, length, first=number == 1),
                section="B" if dice.random() < 0.05 else "",
                repeat_times=2 if count == 1 and dice.random() < 0.1 else 1,
                tempo=Tempo(metre.beat, dice.randint(30, 200)) if dice.random() < 0.1 else None,
            )
        )
    return Tune("Drawn by lot", key, bars[0].metre, tempo, tuple(bars))


def _changes(
    dice: random.Random,
    instrument: Instrument,
    style: Style,
    metre: Metre,
    length: int,
    first: bool,
) -> tuple[ChordChange, ...]:
    if not first and dice.random() < 0.2:
        return ()
    places = [0]
    if length > metre.beat and dice.random() < 0.35:
        places.append(metre.beat * dice.randint(1, length // metre.beat - 1))
    changes = [
        ChordChange(tick, None if dice.random() < 0.15 else _chord(dice, instrument, style))
        for tick in places
    ]
    if first and all(change.chord is None for change in changes):
        changes[-1] = ChordChange(changes[-1].tick, _chord(dice, instrument, style))
    return tuple(changes)


def _chord(dice: random.Random, instrument: Instrument, style: Style) -> Chord:
    """Mostly one whose root lies on the bass string and that the open strings like."""
    limit = instrument.capo + style.bass_ceiling
    basses = [instrument.pitch(0, fret) % 12 for fret in instrument.frets(0) if fret <= limit]
    opens = {(pitch + instrument.capo) % 12 for pitch in instrument.tuning[1:]}
    reachable = {
        instrument.pitch(course, fret) % 12
        for course in range(1, len(instrument.courses))
        for fret in instrument.frets(course)
        if fret <= instrument.capo + style.highest
    }
    best: tuple[int, Chord] | None = None
    for _ in range(dice.choice((1, 12, 20))):
        root = NAMES[dice.choice(basses)] if dice.random() < 0.95 else dice.choice(NAMES)
        quality = dice.choice(PLAIN if dice.random() < 0.8 else tuple(QUALITIES))
        slash = NAMES[dice.choice(basses)] if dice.random() < 0.15 else None
        chord = Chord(root, quality, slash)
        liked = len(opens & chord.pitch_classes) + (len(chord.pitch_classes & reachable) > 2)
        if best is None or liked > best[0]:
            best = liked, chord
    assert best is not None
    return best[1]
