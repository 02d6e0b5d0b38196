"""The explanation of a bar as text.

Public: explanation_text, room_words.
"""

from collections.abc import Iterator

from scoring.terms import TERMS
from undersong.compare.shown import shown_beats, shown_hands
from undersong.compared import named_bars
from undersong.sheet.printed_chords import printed_chords
from undersong.sheet.text_signs import plain
from undersong.why import Account, Explanation
from undersong.why.others import sentence
from undersong.why.room import Room
from undersong.wording import many, wrap


def explanation_text(found: Explanation, width: int = 80, from_capo: bool = False) -> str:
    """The page, in ASCII; width: columns; from_capo: frets are counted from the capo."""
    arrangement = found.arrangement
    printed = printed_chords(arrangement)
    chords = dict.fromkeys(chord for account in found.accounts for chord in printed[account.index])
    names = " ".join("N.C." if chord is None else chord.symbol for chord in chords)
    names += "; " if names else ""
    where = named_bars(arrangement.tune, (found.bar,))
    lines = wrap(
        plain(
            f"{arrangement.tune.title}, {where}: {names}{found.cost} ms of the tune's "
            f"{arrangement.cost} ({arrangement.proof.status})"
        ),
        width,
    )
    if found.better:
        lines += wrap(
            f"Under its own settings there is an answer that costs {found.better} ms less; all "
            "prices below are against the one handed in.",
            width,
        )
    beats = shown_beats(arrangement)
    for account in found.accounts:
        lines += ["", *_account(found, account, beats[account.index], width, from_capo)]
    lines.append("")
    if found.others:
        lines.append("With another choice there:")
    for number, other in enumerate(found.others, 1):
        told = sentence(arrangement, other, from_capo)
        lines += wrap(f"{number}  {told}.", width, subsequent_indent="   ")
        lines += wrap(
            f"{_more(other.there)} there, {_more(other.elsewhere)} elsewhere"
            + (f", {_more(other.conditions)} by the conditions" if other.conditions else "")
            + (f" ({_bars(found, other.by, other.bar)})" if other.elsewhere else ""),
            width,
            initial_indent="   ",
            subsequent_indent="   ",
        )
    if found.end:
        lines += wrap(found.end[0].upper() + found.end[1:] + ".", width)
    return "\n".join(lines) + "\n"


def _account(
    found: Explanation, account: Account, beat: str, width: int, from_capo: bool
) -> Iterator[str]:
    arrangement = found.arrangement
    choice = arrangement.choices[account.index]
    hands = shown_hands(
        arrangement, choice.grip.frets, choice.grip.fingers, choice.struck, from_capo
    )
    role = f", bass: {choice.role}" if choice.role else ""
    yield from wrap(f"{beat}: {hands}{role}, {account.cost} ms", width, subsequent_indent="  ")
    about = {term.about.name: term.about for term in TERMS}
    for name, amount, ms in account.terms:
        one = about[name]
        yield from wrap(
            plain(
                f"{ms} ms  {name}: {amount} x {arrangement.weights[name]} ms for each "
                f"{one.unit}; {one.meaning}"
            ),
            width,
            initial_indent="  ",
            subsequent_indent="    ",
        )
    if not account.terms:
        yield "  nothing is charged"
    if account.room is not None:
        yield from wrap(
            room_words(account.room), width, initial_indent="  ", subsequent_indent="    "
        )


def room_words(room: Room) -> str:
    """How many choices there are, in a line."""
    words = [
        many(room.fitting, "choice of frets fits", "choices of frets fit")
        + " the chord, the bass and the hand"
    ]
    if room.allowed != room.fitting:
        words.append(f"the conditions leave {room.allowed}")
    if room.through is not None:
        words.append(f"{room.through} can follow the bar before and lead on to the bar after")
    if room.fingerings:
        words.append("these frets can be fingered in " + many(room.fingerings, "way", "ways"))
    else:
        words.append("these frets are not among them")
    return "; ".join(words)


def _more(ms: int) -> str:
    return f"{-ms} ms less" if ms < 0 else f"{ms} ms more"


def _bars(found: Explanation, by: dict[int, dict[str, int]], bar: int) -> str:
    sums = {number: sum(terms.values()) for number, terms in by.items() if number != bar}
    return ", ".join(
        f"{named_bars(found.arrangement.tune, (number,))}: {_more(ms)}"
        for number, ms in sums.items()
        if ms
    )
