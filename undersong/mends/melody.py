"""Mends of a melody that lies out of reach: the whole of it, or the phrases that do, an octave
away.

Public: melody_clash, melody_ideas, may_sing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from fretboard.presets import tunings
from fretboard.tuning import pitch_name
from solver.clash import Clash
from solver.demands import Wanted
from solver.out_of_reach import OutOfReach, unreachable
from tune.bar_names import PICKUP, bar_name
from tune.errors import TuneError
from tune.octaves import by_octaves, phrases
from tune.tune import Tune
from undersong.mends.mend import Idea, Kind

PLAYED_HERE = ("solo", "drone")
"""Textures in which the instrument has the melody."""


MOST_TOLD = 6
"""Notes out of reach that are told one by one."""


def melody_clash(wanted: Wanted) -> Clash | None:
    """The melody and the instrument, where it has notes out of reach; None where it has none."""
    missing = _missing(wanted)
    if not missing:
        return None
    tune = wanted.tune
    notes = dict.fromkeys((tune.bars[each.note.written].number, each.name) for each in missing)
    told = [f"{name} in {bar_name(bar)}" for bar, name in notes]
    more = f" and {len(told) - MOST_TOLD} more" if len(told) > MOST_TOLD else ""
    played = [each.note.bar for each in missing]
    return Clash(
        (f"the melody goes out of reach: {', '.join(told[:MOST_TOLD])}{more}",),
        tuple(sorted({bar for bar, _ in notes})),
        irreducible=True,
        played=(min(played), max(played)),
    )


def may_sing(wanted: Wanted) -> bool:
    """Whether every melody note is in reach, or none is asked for."""
    return not _missing(wanted)


def _missing(wanted: Wanted) -> tuple[OutOfReach, ...]:
    if wanted.style.texture not in PLAYED_HERE:
        return ()
    return unreachable(wanted.tune, wanted.instrument, wanted.style)


def melody_ideas(wanted: Wanted) -> Iterator[Idea]:
    """The phrases that hold notes out of reach moved by an octave, then the whole melody; none
    where every note is in reach or another has the melody."""
    missing = _missing(wanted)
    if not missing:
        return
    whole = range(len(wanted.tune.bars))
    some = _phrases_with(wanted.tune, missing)
    for bars in dict.fromkeys((some, (whole,))):
        for octaves in (-1, 1):
            idea = _moved(wanted, bars, octaves)
            if idea is not None:
                yield idea
    yield from _melody_strings(wanted)


def _melody_strings(wanted: Wanted) -> Iterator[Idea]:
    """Usual tunings in which the melody string alone is another: what songs were made for."""
    instrument = wanted.instrument
    for info in tunings():
        if info.pitches[:-1] != instrument.tuning[:-1] or info.pitches == instrument.tuning:
            continue
        request = replace(wanted, instrument=instrument.with_tuning(info.pitches))
        if may_sing(request):
            named = " ".join(map(pitch_name, info.pitches))
            yield Idea(
                Kind.TUNING,
                f"tune the melody string to {pitch_name(info.pitches[-1])}: {info.name}",
                f"--tuning '{named}'",
                "retuning one string, which far from its usual pitch may want another string",
                request,
            )


def _phrases_with(tune: Tune, missing: Sequence[OutOfReach]) -> tuple[range, ...]:
    """The phrases that hold those notes, neighbours joined."""
    there = {found.note.written for found in missing}
    joined: list[range] = []
    for phrase in phrases(tune):
        if there.isdisjoint(phrase):
            continue
        if joined and joined[-1].stop == phrase.start:
            joined[-1] = range(joined[-1].start, phrase.stop)
        else:
            joined.append(phrase)
    return tuple(joined)


def _moved(wanted: Wanted, bars: Sequence[range], octaves: int) -> Idea | None:
    """The melody of those bars moved; None where notes would still be out of reach."""
    tune = wanted.tune
    try:
        made = by_octaves(tune, {index for some in bars for index in some}, octaves)
    except TuneError:
        return None
    if not may_sing(replace(wanted, tune=made)):
        return None
    all_of_it = sum(map(len, bars)) == len(tune.bars)
    named = [_named(tune, some) for some in bars]
    where = "the whole melody" if all_of_it else f"the melody of {_told(tune, bars)}"
    typed = ["all"] if all_of_it else named
    return Idea(
        Kind.OCTAVE,
        f"play {where} an octave {'higher' if octaves > 0 else 'lower'}",
        " ".join(f"--octave {name}={octaves}" for name in typed),
        "another register" if all_of_it else "the tune jumps an octave where the phrase begins",
        replace(wanted, tune=made),
    )


def _told(tune: Tune, bars: Sequence[range]) -> str:
    """The same in words: ``bars 1-4 and 9-12``, ``the pickup and bars 1-4``."""
    named = [_named(tune, some) for some in bars]
    if tune.bars[bars[0].start].number != PICKUP:
        many = len(bars) > 1 or len(bars[0]) > 1
        return f"bar{'s' * many} {' and '.join(named)}"
    later = [range(bars[0].start + 1, bars[0].stop), *bars[1:]]
    rest = [some for some in later if some]
    return " and ".join([bar_name(PICKUP), *([_told(tune, rest)] if rest else [])])


def _named(tune: Tune, bars: range) -> str:
    """The bars by the numbers that the page prints."""
    first, last = tune.bars[bars.start].number, tune.bars[bars.stop - 1].number
    return f"{first}-{last}" if first != last else f"{first}"
