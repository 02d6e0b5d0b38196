"""A set as text, to lay on a music stand.

Public: set_text, join_words.
"""

from collections.abc import Iterator, Sequence

from fretboard.frets import fret_label
from fretboard.instrument import Instrument
from fretboard.tuning import pitch_name
from scoring.choice import Choice
from solver.result import PROVEN
from undersong.advice.set_ways import LeftOut, mend
from undersong.advice.sets import SetPlace, TuneSet
from undersong.advice.tuning_names import tuning_name
from undersong.sheet.text_signs import plain
from undersong.wording import aligned, many, wrap

_HEADS = ("", "tune", "key", "follows", "tuning", "capo", "between", "work")


def set_text(made: TuneSet, title: str = "", width: int = 80) -> str:
    """The page, in ASCII; width: columns."""
    lines = [plain(title), ""] if title else []
    table, spared = _table(made, width)
    lines.append(table[0])
    for at, (row, place) in enumerate(zip(table[1:], made.places, strict=True)):
        lines += [*_done_before(at, place, made, width), row]
        lines += _besides(at, place, made, spared, width)
    lines.append("")
    for told in (_totals(made), _verdict(made), _named(made)):
        lines += wrap(told, width)
    lines += _failed("Not to be played so:", made.left_out, width)
    lines += _failed("Left out of the set, not to be played as asked:", made.not_played, width)
    if made.not_played:
        lines += wrap(f"Mend: {mend(made.not_played)}.", width)
    if any(place.joined for place in made.places):
        lines += ["", *wrap("Within a medley strings and capo stay as they are: there is no time "
                            "to change them.", width)]  # fmt: skip
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _failed(head: str, ways: Sequence[LeftOut], width: int) -> Iterator[str]:
    if ways:
        yield from ("", *wrap(head, width))
    for each in ways:
        told = plain(f"{each.title} in {each.where}: {each.why}")
        yield from wrap(told, width, initial_indent="  ", subsequent_indent="    ")


_SPARED = ("work", "follows", "capo", "between", "key", "tuning")
"""Columns that go to a line below their tune, one after another, until the rest fit the page."""


def _table(made: TuneSet, width: int) -> tuple[list[str], tuple[str, ...]]:
    """Heads and rows, and the columns that the page has no room for."""
    rows = [_row(at, place, made) for at, place in enumerate(made.places, 1)]
    for count in range(len(_SPARED) + 1):
        spared = _SPARED[:count]
        shown = [column for column, head in enumerate(_HEADS) if head not in spared]
        table = aligned(
            [_HEADS[column] for column in shown],
            [[row[column] for column in shown] for row in rows],
        )
        if max(map(len, table)) <= width:
            break
    return table, spared


def _besides(
    at: int, place: SetPlace, made: TuneSet, spared: Sequence[str], width: int
) -> list[str]:
    """How the tune is played where that is not as usual, and what has no column."""
    row = dict(zip(_HEADS, _row(at + 1, place, made), strict=True))
    one = place.tune
    told = []
    if place.texture != "song":
        told.append(f"texture {place.texture}")
    if one.transposed:
        higher = "up" if one.transposed > 0 else "down"
        told.append(f"{many(abs(one.transposed), 'semitone')} {higher} from where it is written")
    group = made.asked.medleys.get(one.medley, frozenset())
    if group and len(group) < len(made.asked.tunes):
        told.append(f"of the medley {one.medley}")
    words = {"work": "hand work", "follows": "the key follows:", "between": "between:"}
    told += [
        f"{words.get(head, head)} {row[head]}"
        for head in reversed(spared)
        if row[head] not in ("-", "none")
    ]
    return wrap(plain("; ".join(told)), width, initial_indent="    ", subsequent_indent="    ")


def _row(number: int, place: SetPlace, made: TuneSet) -> tuple[str, ...]:
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
        "not asked" if found is None else f"{sign}{work} ms" if prices["work"] else "not counted",
    )


def _done_before(at: int, place: SetPlace, made: TuneSet, width: int) -> Iterator[str]:
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


def join_words(before: SetPlace, after: SetPlace) -> str:
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
    """What is done between the tunes; of one tune, what is done before it."""
    prices = made.asked.prices
    work = made.amount("work") * prices["work"]
    anew, capo = made.amount("string"), made.amount("capo-move")
    told = [
        f"{many(anew, 'string')} tuned anew, by {many(made.amount('semitone'), 'semitone')}"
        if anew
        else "no string tuned anew",
        many(capo, "capo move") if capo else "no capo move",
    ]
    between = made.order.cost - work
    if len(made.places) > 1:
        text = f"Between the tunes: {', '.join(told)}; {between} ms with how the keys follow"
        if any(place.joined for place in made.places):
            text += f" and joins of {made.amount('join')} ms"
        text += ". "
    elif made.asked.start is not None:
        text = f"Before the tune: {', '.join(told)}; {between} ms. "
    else:
        text = ""
    whose = "tune" if len(made.places) == 1 else "tunes"
    if not made.asked.arranged:
        return text
    counted = f"{work} ms" if prices["work"] else "not counted"
    return f"{text}Hand work in the {whose}: {counted}."


def _with_joins(made: TuneSet) -> str:
    """What proof there is for a medley."""
    if not any(place.joined for place in made.places):
        return ""
    return (
        " That is with each tune's best answer: others may have cheaper joins, but no set costs "
        f"less than {made.whatever_answers} ms."
    )


def _verdict(made: TuneSet) -> str:
    order, alone = made.order, len(made.places) == 1
    if alone and made.proven:
        ways = (
            "none of the tunings and capos named" if len(_open_to(made)) > 1 else "no other answer"
        )
        return f"Proven best: {order.cost} ms in all; under these prices {ways} costs less."
    if made.proven:
        first = "" if order.settled else "; others may be as good, and another run may give one"
        return (
            f"Proven best: {order.cost} ms in all; under these prices no other order, and no "
            f"other choice among the tunings named, costs less{first}.{_with_joins(made)}"
        )
    if order.proven and alone:
        return (
            f"{order.cost} ms in all, not proven best; no answer costs less than {made.bound} ms; "
            "allow more time."
        )
    if order.proven:
        return (
            f"{order.cost} ms in all: the best order for these answers, of which not all are "
            f"proven best; no order costs less than {made.bound} ms; allow more time."
        )
    return f"Best so far: {order.cost} ms in all; no order costs less than {made.bound} ms."


def _open_to(made: TuneSet) -> tuple[Instrument, ...]:
    """The tunings and capos that a set's one tune may have."""
    return made.places[0].tune.instruments


def _named(made: TuneSet) -> str:
    """What the order named would come to; nothing of one tune."""
    if made.as_named is None or len(made.places) == 1:
        return ""
    more = made.as_named - made.order.cost
    told = f"{abs(more)} ms {'more' if more > 0 else 'less'}" if more else "it costs the same"
    return f"In the order named, in the best tunings for that: {told}."
