"""A set as text, to lay on a music stand.

Public: set_text, tuning_name.
"""

from collections.abc import Iterator
from functools import cache

from fretboard import presets
from fretboard.frets import fret_label
from fretboard.instrument import Instrument
from fretboard.tuning import pitch_name
from scoring.choice import Choice
from solver.result import PROVEN
from undersong.advice.sets import Place, TuneSet
from undersong.sheet.text_signs import plain
from undersong.wording import aligned, many, wrap

_HEADS = ("", "tune", "key", "follows", "tuning", "capo", "between", "work")


def set_text(made: TuneSet, title: str = "", width: int = 80) -> str:
    """The page, in ASCII; width: columns."""
    asked = made.asked
    lines = [plain(title), ""] if title else []
    table = _table(made, width)
    lines.append(table[0])
    for at, (row, place) in enumerate(zip(table[1:], made.places, strict=True)):
        lines += [*_done_before(at, place, made, width), row]
    lines += ["", *wrap(_totals(made), width)]
    lines += wrap(_verdict(made), width)
    if made.as_named is not None:
        more = made.as_named - made.order.cost
        told = f"{abs(more)} ms {'more' if more > 0 else 'less'}" if more else "as much"
        lines += wrap(f"In the order named, in the best tunings for that: {told}.", width)
    if made.left_out:
        lines += ["", "Not to be played so:"]
        for each in made.left_out:
            told = f"{each.title} in {_set_up(each.instrument)}: {each.why}"
            lines += wrap(plain(told), width, initial_indent="  ", subsequent_indent="    ")
    if asked.medleys:
        lines += ["", *wrap("Within a medley strings and capo stay as they are: there is no time "
                            "to change them.", width)]  # fmt: skip
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _table(made: TuneSet, width: int) -> list[str]:
    """Heads and rows, without those columns that the page has no room for and that can be spared:
    the hand work, then how keys follow, which the keys show."""
    rows = [_row(at, place, made) for at, place in enumerate(made.places, 1)]
    shown = list(range(len(_HEADS)))
    for spared in (None, _HEADS.index("work"), _HEADS.index("follows")):
        shown = [column for column in shown if column != spared]
        table = aligned(
            [_HEADS[column] for column in shown],
            [[row[column] for column in shown] for row in rows],
        )
        if max(map(len, table)) <= width:
            break
    return table


@cache
def _names() -> dict[tuple[int, ...], str]:
    return {info.pitches: info.name for info in presets.tunings()}


def tuning_name(instrument: Instrument) -> str:
    """As players write it where it is a usual tuning, else its pitches."""
    spelled = "-".join(map(pitch_name, instrument.tuning))
    return _names().get(instrument.tuning, spelled)


def _set_up(instrument: Instrument) -> str:
    capo = f", capo {fret_label(instrument.capo)}" if instrument.capo else ""
    return tuning_name(instrument) + capo


def _row(number: int, place: Place, made: TuneSet) -> tuple[str, ...]:
    prices = made.asked.prices
    found = place.arrangement
    work = place.amounts.get("work", 0) * prices["work"]
    sign = "" if found is None or found.proof.status == PROVEN else "at most "
    capo = place.instrument.capo
    return (
        str(number),
        plain(place.tune.title),
        str(place.tune.tune.key),
        place.follows or "-",
        tuning_name(place.instrument),
        fret_label(capo) if capo else "none",
        f"{place.cost - work} ms" if place.cost > work else "-",
        f"{sign}{work} ms" if found is not None else "not asked",
    )


def _done_before(at: int, place: Place, made: TuneSet, width: int) -> Iterator[str]:
    """What she does before the tune, line by line."""
    if place.joined:
        yield from _step(f"play on: {join_words(made.places[at - 1], place)}", width)
    elif place.retuning is None:
        strings = " ".join(map(pitch_name, place.instrument.tuning))
        name, capo = tuning_name(place.instrument), place.instrument.capo
        on = f", capo at fret {fret_label(capo)}" if capo else ""
        told = strings if name == strings.replace(" ", "-") else f"{name} ({strings})"
        yield from _step(f"sit down in {told}{on}", width)
    elif not place.retuning.nothing:
        yield from _step("; ".join(place.retuning.words()), width)
    if place.caution:
        yield from _step(f"caution: {place.caution}", width)


def _step(told: str, width: int) -> list[str]:
    return wrap(told, width, initial_indent="    > ", subsequent_indent="      ")


def join_words(before: Place, after: Place) -> str:
    """``from 3-1-0 to 0-0-2, 210 ms``."""
    assert before.arrangement is not None, "a medley's tunes are arranged"
    assert after.arrangement is not None, "a medley's tunes are arranged"
    old = _shape(before.arrangement.choices[-1], before.instrument)
    new = _shape(after.arrangement.choices[0], after.instrument)
    return f"from {old} to {new}, {after.amounts['join']} ms"


def _shape(choice: Choice, instrument: Instrument) -> str:
    frets = choice.grip.frets
    if all(fret < 0 for fret in frets):
        return "a rest"
    return "-".join("x" if fret < 0 else instrument.label(fret) for fret in frets)


def _totals(made: TuneSet) -> str:
    prices = made.asked.prices
    work = made.amount("work") * prices["work"]
    anew = made.amount("string")
    told = [
        f"{many(anew, 'string')} tuned anew, by {many(made.amount('semitone'), 'semitone')}"
        if anew
        else "no string tuned anew",
        many(made.amount("capo-move"), "capo move"),
    ]
    between = made.order.cost - work
    text = f"Between the tunes: {', '.join(told)}; {between} ms with how the keys follow"
    if any(place.joined for place in made.places):
        text += f" and joins of {made.amount('join')} ms"
    return f"{text}." + (f" Hand work in the tunes: {work} ms." if made.asked.arranged else "")


def _verdict(made: TuneSet) -> str:
    order = made.order
    if made.proven:
        first = "" if order.settled else "; others may be as good, and another run may give one"
        return (
            f"Proven best: {order.cost} ms in all; under these prices no other order, and no "
            f"other choice among the tunings named, costs less{first}."
        )
    if order.proven:
        return (
            f"{order.cost} ms in all: the best order for these answers, of which not all are "
            f"proven best; no order costs less than {made.bound} ms; allow more time."
        )
    return f"Best so far: {order.cost} ms in all; no order costs less than {made.bound} ms."
