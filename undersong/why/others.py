"""Another answer held against the one that is played: what it costs more in the bar that was asked
about and what elsewhere, by bars and by terms, and the same as a sentence.

Public: Other, other_of, changed_hands, sentence.
"""

from dataclasses import dataclass

from solver.result import PROVEN, Arrangement
from undersong.compare.shown import shown_beats, shown_hands
from undersong.compared import named_bars, words_of

Split = dict[int, dict[str, int]]
"""Played bar's number → term name → ms more (below 0: less), zeros left out."""


@dataclass(frozen=True)
class Other:
    """arrangement: the answer; bar: where another choice was asked for; more: ms that it costs more
    in all, prices of conditions included; by: what of that is hand work, by bars and terms."""

    arrangement: Arrangement
    bar: int
    more: int
    by: Split

    @property
    def there(self) -> int:
        """ms more in the bar itself."""
        return sum(self.by.get(self.bar, {}).values())

    @property
    def elsewhere(self) -> int:
        """ms more in all other bars."""
        return sum(ms for bar, terms in self.by.items() if bar != self.bar for ms in terms.values())

    @property
    def conditions(self) -> int:
        """ms more that the conditions charge."""
        return self.more - self.there - self.elsewhere

    @property
    def proven(self) -> bool:
        """Whether it is proven the best such."""
        return self.arrangement.proof.status == PROVEN


def other_of(played: Arrangement, other: Arrangement, bar: int) -> Other:
    """The other answer, its price split."""
    by: Split = {}
    weights = played.weights
    rows = zip(played.moments, played.bill.amounts, other.bill.amounts, strict=True)
    for moment, mine, theirs in rows:
        terms = by.setdefault(moment.bar, {})
        for name in {**mine, **theirs}:
            ms = (theirs.get(name, 0) - mine.get(name, 0)) * weights[name]
            terms[name] = terms.get(name, 0) + ms
    left = {number: {name: ms for name, ms in terms.items() if ms} for number, terms in by.items()}
    return Other(
        other,
        bar,
        other.asked_cost - played.asked_cost,
        {number: terms for number, terms in left.items() if terms},
    )


def changed_hands(played: Arrangement, other: Other, from_capo: bool = False) -> list[str]:
    """What is done otherwise in the bar, such as ``5-4-5 TIM on beat 3``, in order."""
    told: list[str] = []
    beats = shown_beats(played)
    for index, moment in enumerate(played.moments):
        mine, theirs = played.choices[index], other.arrangement.choices[index]
        if moment.bar != other.bar:
            continue
        if (mine.grip.frets, mine.struck) == (theirs.grip.frets, theirs.struck):
            continue
        hands = shown_hands(
            played, theirs.grip.frets, theirs.grip.fingers, theirs.struck, from_capo
        )
        told.append(f"{hands} on {beats[index]}")
    return told


def sentence(played: Arrangement, other: Other, from_capo: bool = False) -> str:
    """Such as ``5-4-5 on beat 3 in bar 9 would cost 140 ms more: …``."""
    tune = played.tune
    where = named_bars(tune, (other.bar,))
    choice = "; ".join(changed_hands(played, other, from_capo)) or "the same"
    much = f"{abs(other.more)} ms {'more' if other.more >= 0 else 'less'}"
    if not other.more:
        much = "the same"
    saved = _most(other.by, -1)
    added = _most(other.by, 1)
    reason = _reason(played, saved, added, _sum(other.by, -1), _sum(other.by, 1))
    charged = other.conditions
    if charged:
        word = "more" if charged > 0 else "less"
        reason += f"{', and ' if reason else ''}the conditions charge {abs(charged)} ms {word}"
    return f"{choice} in {where} would cost {much}" + (f": {reason}" if reason else "")


def _reason(
    played: Arrangement,
    saved: tuple[int, int, str] | None,
    added: tuple[int, int, str] | None,
    less: int,
    more: int,
) -> str:
    if added is None and saved is None:
        return ""
    if saved is None and added is not None:
        return f"it adds {more} ms{_mostly(played, added, more)} and saves nothing"
    if added is None and saved is not None:
        return f"it saves {less} ms{_mostly(played, saved, less)} and adds nothing"
    assert saved is not None
    assert added is not None
    than = "less than" if less < more else "as much as" if less == more else "more than"
    return (
        f"the {less} ms that it saves{_mostly(played, saved, less)} are {than} the {more} ms that "
        f"it adds{_mostly(played, added, more)}"
    )


def _mostly(played: Arrangement, part: tuple[int, int, str], total: int) -> str:
    ms, bar, name = part
    where = f"{words_of(name)} in {named_bars(played.tune, (bar,))}"
    return f" ({where})" if ms == total else f" (most: {where}, {ms} ms)"


def _most(by: Split, sign: int) -> tuple[int, int, str] | None:
    """(ms, bar, term) of the greatest rise (1) or fall (-1), the first of equals."""
    parts = [
        (sign * ms, -bar, name)
        for bar, terms in by.items()
        for name, ms in terms.items()
        if sign * ms > 0
    ]
    if not parts:
        return None
    ms, bar, name = max(parts)
    return ms, -bar, name


def _sum(by: Split, sign: int) -> int:
    return sum(max(0, sign * ms) for terms in by.values() for ms in terms.values())
