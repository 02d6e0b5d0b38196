"""Moments lie where they should, last as long as they should, and say what is true.

Public: times_right, moments_true, bass_asked, asked_last.
"""

from collections.abc import Iterator

from solver.result import Arrangement
from undersong.check.ask import Ask, Strings
from undersong.check.clock import bar_times, closing_bars, milliseconds
from undersong.check.fault import Fault
from undersong.check.passage import Passage


def times_right(arrangement: Arrangement, asks: tuple[Ask, ...]) -> Iterator[Fault]:
    """Faults of bars, offsets and lengths; none means one moment for every ask, in order."""
    bars = bar_times(arrangement.tune)
    begins = {ask.tick for ask in asks}
    clock = 0
    for moment in arrangement.moments:

        def fault(message: str, bar: int = moment.bar, offset: int = moment.offset) -> Fault:
            return Fault(bar, offset, "time", message)

        if not 1 <= moment.bar <= len(bars):
            yield fault(f"the tune as played has no bar {moment.bar}")
            return
        bar = bars[moment.bar - 1]
        if moment.written != bar.written:
            yield fault(f"played bar {moment.bar} is written bar {bar.written}, counted from 0")
        if not 0 <= moment.offset < bar.end - bar.start:
            yield fault("the moment begins outside its bar")
        tick = bar.start + moment.offset
        if tick != clock:
            gap = "overlaps" if tick < clock else "leaves a gap after"
            yield fault(f"the moment {gap} the one before")
        elif tick not in begins:
            yield fault("nothing begins here in the tune, the manner or the right hand's pattern")
        if moment.length <= 0:
            yield fault("the moment lasts no time")
        begins.discard(tick)
        clock = tick + moment.length
    if clock != bars[-1].end:
        yield Fault(bars[-1].number, 0, "time", "the last moment does not end with the tune")
    for tick in sorted(begins):
        bar = next(bar for bar in bars if tick < bar.end)
        yield Fault(bar.number, tick - bar.start, "time", "a moment is missing here")


def moments_true(passage: Passage) -> Iterator[Fault]:
    """Faults in what the moments say of themselves, each worked out anew.

    Not looked at: the roles of bass notes that sound on or are struck again; they have no price.
    """
    arrangement = passage.arrangement
    hand, tune = arrangement.style.right_hand, arrangement.tune
    courses = len(arrangement.instrument.courses)
    strings = {stroke.strings for _, strokes in hand.bars for stroke in strokes}
    plays = tuple(bool(strings & _STRIKING[_course(c, courses)]) for c in range(courses))
    closing = frozenset() if passage.texture == "drone" else asked_last(passage)
    for index, (moment, ask) in enumerate(zip(passage.moments, passage.asks, strict=True)):
        sounding = ask.time.chord is not None
        roles, instead = bass_asked(ask, index in closing)
        truths = {
            "ms": milliseconds(tune, ask.bar.written, moment.length),
            "chord": ask.time.chord,
            "change": ask.first,
            "downbeat": ask.tick == ask.bar.start and not ask.bar.phase,
            "strong": ask.strong,
            "half_bar": ask.tick == ask.bar.half,
            "moves": _moves(ask, roles, passage.texture),
            "run": ask.run,
            "runs_to": _runs_to(ask),
            "climbs": ask.bass is not None and ask.bass.climbs,
            "keeps": ask.again,
            "rings": _rings(passage, index),
            "leads": passage.texture != "drone" and _leads(passage.asks, index),
            "judged": ask.judged,
            "damped": sounding and hand.damped and passage.texture != "drone",
            "strikes": _in_like_order(ask.strikes, moment.strikes),
            "plays": _plays(passage, index, plays),
            "scale": ask.bar.scale,
            "roles": roles if ask.bass else moment.roles,
            "fallback": instead | _always(passage, index),
            "texture": passage.texture,
            "melody": ask.melody,
            "sings": ask.sings,
            "breath": ask.breath,
        }
        for name, truth in truths.items():
            said = getattr(moment, name)
            if said != truth:
                yield passage.fault(
                    index,
                    "asked",
                    f"the moment's {name.replace('_', ' ')} should be {truth}, not {said}",
                )


def _in_like_order(true: tuple[Strings, ...], said: tuple[Strings, ...]) -> tuple[Strings, ...]:
    """What may be struck, told in the moment's order where only the order after the first
    differs."""
    alike = bool(said) and said[0] == true[0] and len(said) == len(true) and set(said) == set(true)
    return said if alike else true


def _runs_to(ask: Ask) -> int | None:
    """The pitch class of the bass that a run goes to, while it is on its way."""
    following = ask.time.following
    return following.bass_pitch_class if ask.run and not ask.first and following else None


def _moves(ask: Ask, roles: frozenset[str], texture: str) -> bool:
    """The bass should move on, in a solo only where it has a choice of notes."""
    moves = ask.bass is not None and ask.bass.moves
    return moves and (texture != "solo" or len(roles) > 1)


def _sung_yet(passage: Passage, index: int) -> bool:
    """Whether a note of the melody has begun."""
    return any(ask.sings for ask in passage.asks[: index + 1])


def _rings(passage: Passage, index: int) -> bool:
    """A held bass must ring on: in a drone from the first note on, in a song or bass part unless
    it is damped or the player breathes; a solo's only should."""
    ask = passage.asks[index]
    if passage.texture == "drone":
        return _sung_yet(passage, index)
    if passage.texture == "solo" or ask.breath or ask.time.chord is None:
        return False
    return ask.manner == "held" and not passage.arrangement.style.right_hand.damped


def _plays(passage: Passage, index: int, pattern: Strings) -> Strings:
    """The strings that are played at all, the melody's where it sounds."""
    ask, others = passage.asks[index], (False,) * passage.last
    if passage.texture == "drone":
        return (*((_sung_yet(passage, index),) * passage.last), ask.melody is not None)
    if ask.time.chord is None:
        return (*others, False)
    if passage.texture == "bass":
        return (True, *others)
    return (*pattern[:-1], ask.melody is not None) if passage.texture == "solo" else pattern


def _always(passage: Passage, index: int) -> frozenset[str]:
    """What a solo's bass may be besides: the open string under any chord, and the melody."""
    if passage.texture != "solo":
        return frozenset()
    ask = passage.asks[index]
    cut = passage.arrangement.style.right_hand.damped and ask.time.chord is not None
    sung = {"melody"} if ask.melody is not None and not cut else set()
    return frozenset(sung | ({"drone"} if ask.time.chord is not None else set()))


def _leads(asks: tuple[Ask, ...], index: int) -> bool:
    """Whether the next bass note may begin a new chord: no other must come first. Rests in a row
    are one."""
    here = asks[index].time
    for ask in asks[index + 1 :]:
        resting = here.chord is None and ask.time.chord is None
        if ask.time != here and not resting:
            return ask.first
        if ask.bass is not None and not ask.bass.optional:
            return False
    return False


_ABOVE = {"upper", "bass+upper", "all"}
_STRIKING = {
    "bass": {"bass", "bass+upper", "all"},
    "middle": _ABOVE | {"middle"},
    "between": _ABOVE,
    "melody": _ABOVE | {"melody"},
}
"""String → the strokes of a right-hand pattern that strike it."""


def _course(course: int, courses: int) -> str:
    """A string's place, a fourth one's between middle and melody."""
    if course == courses - 1:
        return "melody"
    return ("bass", "middle", "between")[course]


def bass_asked(ask: Ask, closing: bool) -> tuple[frozenset[str], frozenset[str]]:
    """The roles that a new bass note should have, and those that may stand in."""
    if ask.bass is None or ask.time.chord is None:
        return frozenset(), frozenset()
    if closing:
        return frozenset({"slash bass" if ask.time.chord.bass else "root"}), frozenset()
    return ask.bass.roles, ask.bass.instead


def asked_last(passage: Passage) -> frozenset[int]:
    """The last new bass note asked for in each closing bar, and those that may follow it."""
    bars = passage.bars
    closing = closing_bars(passage.arrangement.tune, bars)
    found: dict[int, list[int]] = {}
    for index, ask in enumerate(passage.asks):
        if ask.bass is not None and ask.bar.number in closing:
            if not ask.bass.optional:
                found[ask.bar.number] = []
            found.setdefault(ask.bar.number, []).append(index)
    return frozenset(index for indices in found.values() for index in indices)
