"""How difficult a tune is, in words made from its rating's numbers.

Public: difficulty_words, tempo_advice, bar_words, parts_words.
"""

from collections.abc import Iterator

from scoring.difficulty import BarRating, Parts
from solver.result import Arrangement
from tune.tune import Tune
from undersong.compared import named_bars
from undersong.sheet.text_bar import tempo_at
from undersong.tempo_within import ALL, tempo_within
from undersong.wording import listed


def difficulty_words(arrangement: Arrangement, which: str = "") -> str:
    """The hardest bar with its reasons, and the median; which: of what, where that is to be
    told."""
    rating, begun = arrangement.difficulty, " ".join(filter(None, ("Difficulty", which)))
    if not rating.hardest:
        return f"{begun}: none, the hand need not move."
    return (
        f"{begun}: hardest {rating.hardest} %, median {rating.median} % of what this hand can "
        f"do. Hardest is {bar_words(rating.hardest_bar, arrangement.tune, arrangement.hand.noter)}."
    )


def tempo_advice(arrangement: Arrangement) -> str:
    """The bars that ask more than the hand can do, and the quickest tempo at which these very hands
    play them within it; nothing where no bar asks more."""
    tune, found = arrangement.tune, tempo_within(arrangement)
    if not found.over:
        return ""
    told = [f"Beyond {ALL} %: {named_bars(tune, found.over)}.", *_in_time(arrangement)]
    if found.per_minute is not None:
        tempo = tempo_at(tune, found.per_minute)
        changes = any(bar.tempo is not None for bar in tune.bars[1:])
        scaled = ", its changes in proportion," if changes else ""
        which = "all bars but those below" if found.never else "every bar"
        told.append(
            f"With the frets and fingers shown, {tempo}{scaled} is the quickest tempo at which "
            f"{which} can be done."
        )
    if found.never:
        told.append(
            f"In {named_bars(tune, found.never)} the reach, with the fingers to put down, stays "
            f"beyond {ALL} % at any tempo."
        )
    return " ".join(told)


def _in_time(arrangement: Arrangement) -> Iterator[str]:
    """Of which bars beyond it the hardest moment has its time and its reach, and what is added to
    the share makes it so: "with time for every move" is no slip then."""
    over = [
        bar
        for bar in arrangement.difficulty.bars
        if bar.rating > ALL >= max(bar.parts.hurry, bar.parts.stretch)
    ]
    if not over:
        return
    bars = named_bars(arrangement.tune, tuple(bar.bar for bar in over))
    shares = {max(bar.parts.hurry, bar.parts.stretch) for bar in over}
    share = f"{min(shares)} to {max(shares)} %" if len(shares) > 1 else f"{max(shares)} %"
    added = (word for bar in over for word in _besides(bar.parts, arrangement.hand.noter))
    yield (
        f"The hardest move in {bars} is within the hand's time and reach by itself ({share}); what "
        f"is added for {listed(list(dict.fromkeys(added)))} takes it beyond."
    )


def _besides(parts: Parts, noter: bool) -> list[str]:
    """What is added for, without how much."""
    words = ["a shift of the hand"] * parts.shift + ["a finger laid across strings"] * parts.laid
    return words + ["the noter moved" if noter else "fingers put down"] * (parts.fingers > 0)


def bar_words(bar: BarRating, tune: Tune, noter: bool) -> str:
    """Such as ``bar 7: a reach of 92 % of your greatest, and 0.4 s to make it``."""
    return f"{named_bars(tune, (bar.bar,))}: {parts_words(bar.parts, noter)}"


def parts_words(parts: Parts, noter: bool) -> str:
    """What decides, time or reach, and what comes on top of it, so that the percents add up to the
    rating; noter: a stick moves, no finger."""
    more = ["a shift of the hand"] if parts.shift else []
    more += ["a finger laid across strings"] if parts.laid else []
    if parts.fingers and noter:
        more.append("the noter moved")
    elif parts.fingers:
        more.append(f"{parts.fingers} finger{'s' * (parts.fingers > 1)} put down")
    added = f"and {parts.added} more for {listed(more)}"
    if parts.stretch > parts.hurry:
        told = f"a reach of {parts.stretch} % of your greatest, {_time(parts)}"
    elif parts.needed:
        told = f"{_seconds(parts.needed)} of movement, and {_seconds(parts.time)} to make it"
        added = f"{parts.hurry} %, {added}"
    elif not more:
        return "nothing to move or to stretch"
    else:
        return ", ".join(more)
    return f"{told} ({added})" if more else told


def _time(parts: Parts) -> str:
    if parts.needed:
        return f"and {_seconds(parts.time)} to make it"
    return "held on from the moment before" if parts.time else "made before the tune begins"


def _seconds(ms: int) -> str:
    """Two decimals below a second, one above; never 0 where there is something."""
    if ms >= 1000:
        return f"{ms / 1000:.1f} s"
    return f"{ms / 1000:.2f} s" if ms >= 10 else f"{ms / 1000:.3f} s"
