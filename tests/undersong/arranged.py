"""Arrangements for the tests of sheets: found by the search, or put together by chance.

Chance ones keep the rules that a sheet may rely on (a string that is not struck rings on as it
was, or is silent) and no others: nobody could play them, but every sheet must print them.
"""

from dataclasses import replace
from functools import lru_cache
from random import Random

from hypothesis import strategies as st

import corpus
from fretboard.grip import Grip
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from fretboard.presets import instrument
from scoring.choice import Choice
from scoring.moment import ROLES, Moment
from scoring.weights import Weights
from solver.moments import moments_of
from solver.result import PROVEN, UNPROVEN, Arrangement, Proof
from solver.righthand import RightHand, Stroke, right_hand
from solver.search import search
from solver.style import Style
from tune.chord import parse_chord
from tune.key import Key
from tune.readers import read
from tune.readers.chart import read_chart
from tune.time import QUARTER, Metre, Tempo
from tune.tune import Bar, ChordChange, Note, Tune


def chart(text: str) -> Tune:
    """A tune as the plain chart has it, under a title of its own."""
    return read_chart(f"title: Harrow Lane Exercise\ntempo: 100\n{text}")


@lru_cache
def bundled(
    name: str, manner: str = "alternating", hand: str = "bass-then-strum", strings: str = "standard"
) -> Arrangement:
    """A bundled tune as the search arranges it."""
    style = Style(manner=manner, right_hand=right_hand(hand))
    return found(read(str(corpus.path(name))), style, instrument(strings))


def found(tune: Tune, style: Style | None = None, strung: Instrument | None = None) -> Arrangement:
    """The tune as the search arranges it."""
    style, strung, hand, weights = style or Style(), strung or instrument(), Hand(), Weights()
    answer = search(tune, strung, hand, style, weights)
    proof = Proof(PROVEN if answer.optimal else UNPROVEN, answer.bound, answer.cost - answer.bound)
    return Arrangement(tune, strung, hand, style, weights, answer.moments, answer.choices, proof)


def by_chance(
    tune: Tune, style: Style, strung: Instrument, random: Random, alike: float = 0.0
) -> Arrangement:
    """Any choices at all; alike: how often a bar's place is played as the last time."""
    moments = moments_of(tune, style, len(strung.courses))
    choices: list[Choice] = []
    before: tuple[tuple[int, int], ...] = ((-1, -1),) * len(strung.courses)
    known: dict[tuple[int, int], Choice] = {}
    for moment in moments:
        place = (moment.written, moment.offset)
        choice = known.get(place)
        if choice is None or random.random() >= alike or not _rings_on(choice, before):
            choice = _any_choice(moment, before, strung, random)
        known[place] = choice
        choices.append(choice)
        before = tuple(zip(choice.grip.frets, choice.grip.fingers, strict=True))
        if moment.damped:
            before = ((-1, -1), *before[1:])
    weights = Weights.of({"high-bass": random.randrange(40)})
    made = Arrangement(
        tune, strung, Hand(), style, weights, moments, tuple(choices), Proof(UNPROVEN, 0, 0)
    )
    return replace(made, proof=Proof(UNPROVEN, 0, made.cost))


def _rings_on(choice: Choice, before: tuple[tuple[int, int], ...]) -> bool:
    """Whether what is not struck there can ring on from before."""
    here = zip(choice.grip.frets, choice.grip.fingers, choice.struck, before, strict=True)
    return all(struck or fret < 0 or (fret, finger) == old for fret, finger, struck, old in here)


def _any_choice(
    moment: Moment, before: tuple[tuple[int, int], ...], strung: Instrument, random: Random
) -> Choice:
    struck = random.choice(moment.strikes)
    strings: list[tuple[int, int]] = []
    for course, stroke in enumerate(struck):
        if stroke:
            fret = random.choice(strung.frets(course))
            strings.append((fret, -1 if fret == strung.capo else random.randrange(5)))
        else:
            silent = moment.chord is None or random.random() < 0.3
            strings.append((-1, -1) if silent else before[course])
    frets, fingers = zip(*strings, strict=True)
    role = random.choice(ROLES) if struck[0] else None
    return Choice(Grip(frets, fingers, random.randrange(300)), struck, role)


METRES = ("2/2", "2/4", "3/4", "4/4", "6/8", "9/8", "12/8", "5/4", "7/8")
CHORDS = ("D", "G", "A7", "Em", "F#m7b5", "D/F#", "Bbmaj7", "C#dim7", "Asus4", None)
STRINGS = ("standard", "four-equidistant", "chromatic", "traditional", "partial-1+8+")


@st.composite
def tunes(draw: st.DrawFn) -> Tune:
    """Tunes in any metre: pickups, sections, repeats, endings, changes of metre, rests."""
    number, bars = 1, []
    metre = _metre(draw(st.sampled_from(METRES)))
    if draw(st.booleans()):
        length = draw(st.sampled_from((QUARTER // 2, QUARTER, metre.beat)))
        if length < metre.bar:
            bars.append(Bar(0, metre, length, Key("D"), draw(_chords(length))))
    for _ in range(draw(st.integers(1, 3))):
        if draw(st.integers(0, 3)) == 0:
            metre = _metre(draw(st.sampled_from(METRES)))
        passage = []
        for _ in range(draw(st.integers(1, 5))):
            chords = draw(_chords(metre.bar))
            passage.append(Bar(number, metre, metre.bar, Key("D"), chords, draw(_notes(metre))))
            number += 1
        bars += _repeated(draw, passage)
    if not any(change.chord for bar in bars for change in bar.chords):
        bars[-1] = replace(bars[-1], chords=(ChordChange(0, parse_chord("D")),))
    tempo = Tempo(draw(st.sampled_from((QUARTER, QUARTER * 3 // 2, QUARTER // 7 * 2))), 90)
    return Tune(
        draw(st.sampled_from(("Try", "Séance für Zoë", "The " + "long " * 30 + "title"))),
        Key("D"), bars[0].metre, tempo, tuple(bars), composer=draw(st.sampled_from(("", "us"))),
    )  # fmt: skip


def _metre(text: str) -> Metre:
    beats, unit = text.split("/")
    return Metre(int(beats), int(unit))


@st.composite
def _chords(draw: st.DrawFn, length: int) -> tuple[ChordChange, ...]:
    ticks = draw(st.sets(st.integers(0, (length - 1) // (QUARTER // 2)), max_size=3))
    return tuple(
        ChordChange(tick * QUARTER // 2, parse_chord(symbol) if symbol else None)
        for tick in sorted(ticks)
        for symbol in [draw(st.sampled_from(CHORDS))]
    )


@st.composite
def _notes(draw: st.DrawFn, metre: Metre) -> tuple[Note, ...]:
    if draw(st.booleans()):
        return ()
    third = metre.beat // 3
    marks = draw(st.sampled_from(((), ("hammer-on",))))
    return (
        Note(0, 0, 61, "C#", grace=True),
        *(Note(n * third, third, 62 + n, "D", n == 2, False, (3, 2), ("la",)) for n in range(3)),
        Note(3 * third, metre.bar - 3 * third, None, marks=marks),
    )


def _repeated(draw: st.DrawFn, passage: list[Bar]) -> list[Bar]:
    """The passage with a section's name, repeat signs and endings, or without."""
    kind = draw(st.sampled_from(("plain", "plain", "repeat", "endings")))
    if draw(st.booleans()):
        passage[0] = replace(passage[0], section=draw(st.sampled_from(("Verse", "Tag (x) 2"))))
    if kind == "repeat":
        passage[0] = replace(passage[0], repeat_start=True)
        passage[-1] = replace(passage[-1], repeat_times=draw(st.integers(2, 3)))
    if kind == "endings" and len(passage) >= 3:
        passage[0] = replace(passage[0], repeat_start=True)
        first = (1, 2) if draw(st.booleans()) else (1,)
        passage[-2] = replace(passage[-2], endings=first, repeat_times=2)
        passage[-1] = replace(passage[-1], endings=(first[-1] + 1,))
    return passage


@st.composite
def styles(draw: st.DrawFn) -> Style:
    """Manners and right hands, patterns of one's own among them; every metre of ``METRES``."""
    base = draw(
        st.sampled_from(("bass-then-strum", "damped-bass-then-strum", "full-strum", "broken"))
    )
    hand = right_hand(base)
    more = tuple(
        (_metre(text), tuple(_own_strokes(_metre(text)))) for text in ("5/4", "7/8")
    )  # fmt: skip
    wide = RightHand(hand.name, hand.meaning, hand.damped, hand.bars + more)
    manner = draw(st.sampled_from(("held", "roots", "alternating", "alternating-fourth", "runs")))
    no_chord = draw(st.sampled_from(("rest", "carry")))
    return Style(manner=manner, right_hand=wide, no_chord=no_chord)


def _own_strokes(metre: Metre) -> list[Stroke]:
    step = QUARTER // 2
    return [
        Stroke(tick, ("bass", "upper", "middle")[number % 3])
        for number, tick in enumerate(range(0, metre.bar, step))
    ]


@st.composite
def arrangements(draw: st.DrawFn) -> Arrangement:
    """Arrangements by chance."""
    strung = instrument(draw(st.sampled_from(STRINGS)))
    if draw(st.integers(0, 3)) == 0:
        strung = strung.with_capo(5)
    random = draw(st.randoms(use_true_random=False))
    alike = draw(st.sampled_from((0.0, 0.9, 1.0)))
    return by_chance(draw(tunes()), draw(styles()), strung, random, alike)
