"""A capo for the jam: in which tuning to sit down, and which capo for which key.

For every tuning and capo a cadence of each key's own primary chords is solved and proven like any
tune. What is chosen is the tuning in which most keys can be played, then the one in which all of
them together cost least: hand work, open strings that are no drone of the key, strings that are
tuned anew before the evening, and the capo moved between one key and the next, in the order in
which the keys are named. Which capo for which key is an exact choice: the cheapest way through the
evening. A tuning that can no longer win is left, with what it costs at least.

Public: sit_down, Evening, Jam, Sitting, KeyPlayed, KeyNotPlayed, Prices.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from fretboard.errors import FretboardError
from fretboard.hand import Hand
from fretboard.instrument import Instrument
from scoring.weights import Weights
from solver.errors import NotPlayable, StyleError
from solver.refusal import unplayable_chord
from solver.result import PROVEN
from solver.style import Style
from solver.watch import OutOfTime, Watch
from tune.key import Key
from undersong.advice.cadence import CADENCE_TEMPO, cadence
from undersong.advice.losses import losses
from undersong.advice.lying_open import Scale, open_strings, scales
from undersong.advice.retuning import retuned
from undersong.session import Session

DRONES = ("root", "fifth")
"""What an open string may be in a key, so that it can ring on whatever is played."""


@dataclass(frozen=True)
class Prices:
    """ms of hand work that a player would take instead: capo_move: to leave the capo where it is;
    retune: to leave a string as it is, for each semitone; no_drone: to have an open string on the
    key's root or fifth, for each that is not, in each key. Common practice, no source."""

    capo_move: int = 1000
    retune: int = 500
    no_drone: int = 750


@dataclass(frozen=True)
class Evening:
    """keys: in the order in which they come; own: the instrument as it is strung, no capo on it;
    made_for: the same as it is made to be strung; tunings: (name,
    pitches, MIDI, bass first); capos: frets in semitones, 0 for none; tempo:
    quarter notes a minute."""

    keys: tuple[Key, ...]
    own: Instrument
    made_for: Instrument
    tunings: tuple[tuple[str, tuple[int, ...]], ...]
    capos: tuple[int, ...]
    hand: Hand = field(default_factory=Hand)
    style: Style = field(default_factory=Style)
    weights: Weights = field(default_factory=Weights)
    tempo: int = CADENCE_TEMPO
    prices: Prices = field(default_factory=Prices)


@dataclass(frozen=True)
class KeyPlayed:
    """A key where it is played. capo: its fret in semitones; cost: ms of hand work for the
    cadence; open: what the open strings are in the key; scales: octaves of its scale on the melody
    string; no_third: chords of the cadence that somewhere are never heard with their third; gap: ms
    by which the cadence may miss its best."""

    key: Key
    capo: int
    cost: int
    proven: bool
    open: tuple[str, ...]
    scales: tuple[Scale, ...]
    no_third: tuple[str, ...]
    gap: int = 0

    @property
    def no_drone(self) -> int:
        """How many open strings are neither root nor fifth of the key."""
        return sum(degree not in DRONES for degree in self.open)


@dataclass(frozen=True)
class KeyNotPlayed:
    """A key that no capo makes playable. why: for each capo that was tried, a sentence."""

    key: Key
    why: tuple[tuple[int, str], ...]


@dataclass(frozen=True)
class Sitting:
    """One tuning for the whole evening. name: as players write it; played: the keys in their order,
    each with its capo; not_played: the others; moves: how often the capo is moved, put on or taken
    off; semitones: by how many semitones strings are tuned anew, all together; total: ms, work and
    prices; finished: whether every key was looked at: else total is what it costs at least, and it
    is proven to come after the best, or late: the time ended before that was known; certain: every
    cadence that capos were chosen by is proven."""

    name: str
    instrument: Instrument
    played: tuple[KeyPlayed, ...]
    not_played: tuple[KeyNotPlayed, ...]
    moves: int
    semitones: int
    total: int
    finished: bool = True
    late: bool = False
    certain: bool = True

    @property
    def proven(self) -> bool:
        return not self.late and (self.certain or not self.finished)


@dataclass(frozen=True)
class Jam:
    """sittings: every tuning, the best first."""

    evening: Evening
    sittings: tuple[Sitting, ...]

    @property
    def proven(self) -> bool:
        return all(sitting.proven for sitting in self.sittings)


def sit_down(evening: Evening, watch: Watch | None = None) -> Jam:
    """The tunings, ranked. Raises Stopped, and OutOfTime where not one tuning was finished."""
    watch = Watch() if watch is None else watch
    strung = [(name, evening.own.with_tuning(pitches)) for name, pitches in evening.tunings]
    near = sorted(strung, key=lambda one: retuned(evening.own, one[1]).semitones)  # stable
    sittings: list[Sitting] = []
    for name, instrument in near:
        best = min((_rank(one, evening) for one in sittings if one.finished), default=None)
        try:
            sittings.append(_sitting(name, instrument, evening, best, watch.saying(name)))
        except OutOfTime:
            if not sittings:
                raise
            semitones = retuned(evening.own, instrument).semitones
            least = semitones * evening.prices.retune
            late = Sitting(name, instrument, (), (), 0, semitones, least, finished=False, late=True)
            sittings.append(late)
    ranked = sorted(sittings, key=lambda one: (not one.finished, _rank(one, evening)))
    return Jam(evening, tuple(ranked))


def _rank(sitting: Sitting, evening: Evening) -> tuple[int, int]:
    """How often a key of the evening cannot be played, then ms."""
    return _missed(sitting.not_played, evening), sitting.total


def _missed(keys: Sequence[KeyNotPlayed], evening: Evening) -> int:
    return sum(evening.keys.count(each.key) for each in keys)


def _sitting(
    name: str,
    strung: Instrument,
    evening: Evening,
    best: tuple[int, int] | None,
    watch: Watch,
) -> Sitting:
    """The evening in that tuning; best: rank of the best so far, which it must not come after."""
    prices = evening.prices
    semitones = retuned(evening.own, strung).semitones
    solved: dict[Key, dict[int, KeyPlayed]] = {}
    not_played: list[KeyNotPlayed] = []
    least, certain = semitones * prices.retune, True
    for key in dict.fromkeys(evening.keys):
        if best is not None and (_missed(not_played, evening), least) > best:
            return Sitting(name, strung, (), tuple(not_played), 0, semitones, least, finished=False)
        tried = {capo: _in_key(key, capo, strung, evening, watch) for capo in evening.capos}
        there = {capo: found for capo, found in tried.items() if isinstance(found, KeyPlayed)}
        if there:
            solved[key] = there
            cheapest = min(_priced(found, prices) - found.gap for found in there.values())
            certain = certain and all(found.proven for found in there.values())
            least += cheapest * evening.keys.count(key)
        else:
            why = tuple((capo, found) for capo, found in tried.items() if isinstance(found, str))
            not_played.append(KeyNotPlayed(key, why))
    keys = [key for key in evening.keys if key in solved]
    way, moves = _cheapest_capos([solved[key] for key in keys], prices)
    played = tuple(solved[key][capo] for key, capo in zip(keys, way, strict=True))
    total = sum(_priced(each, prices) for each in played) + moves * prices.capo_move
    total += semitones * prices.retune
    out = tuple(not_played)
    return Sitting(name, strung, played, out, moves, semitones, total, certain=certain)


def _priced(played: KeyPlayed, prices: Prices) -> int:
    return played.cost + played.no_drone * prices.no_drone


def _in_key(
    key: Key, capo: int, strung: Instrument, evening: Evening, watch: Watch
) -> KeyPlayed | str:
    """The key's cadence, solved; or why it cannot be played."""
    try:
        instrument = strung.with_capo(capo)
    except FretboardError as error:
        return str(error)
    tune = cadence(key, evening.tempo)
    for bar in tune.bars:  # at once, where a chord has no root or no body anywhere
        chord = bar.chords[0].chord
        why = chord and unplayable_chord(chord, instrument, evening.style)
        if why:
            return f"{chord} cannot be played: {why}"
    session = Session(tune, instrument=instrument, hand=evening.hand, style=evening.style)
    try:
        found = session.arrange(evening.weights, watch=watch)
    except (NotPlayable, StyleError) as error:
        return str(error)
    return KeyPlayed(
        key,
        capo,
        found.cost,
        found.proof.status == PROVEN,
        open_strings(key, instrument),
        scales(key, instrument),
        tuple(dict.fromkeys(lost.chord for lost in losses(found).thirds)),
        found.proof.gap,
    )


def _cheapest_capos(
    keys: Sequence[Mapping[int, KeyPlayed]], prices: Prices
) -> tuple[tuple[int, ...], int]:
    """The capo for each key in turn, and how often it is moved: the least in all, of equals
    the way with the lower capos first. The evening begins without a capo."""
    ways: dict[int, tuple[int, tuple[int, ...]]] = {0: (0, ())}
    for there in keys:
        ways = {
            capo: min(
                (cost + _priced(played, prices) + prices.capo_move * (before != capo), (*way, capo))
                for before, (cost, way) in ways.items()
            )
            for capo, played in there.items()
        }
    _, way = min(ways.values())
    return way, sum(before != after for before, after in zip((0, *way), way, strict=False))
