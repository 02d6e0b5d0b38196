"""Advice on frets as text.

Public: frets_text.
"""

from collections.abc import Iterator, Sequence

from fretboard.frets import fret_label
from undersong.advice.all_frets import FretsAdvice, Total
from undersong.advice.frets import CANNOT, NO_EASIER, UNKNOWN, Outcome, Row
from undersong.sheet.setting_words import instrument_words
from undersong.sheet.text_signs import plain
from undersong.wording import aligned, many, wrap

AS_IT_IS = "as it is"
LONGEST_NAME = 28
NAMES_TOLD = 12
"""Tunes that are named one by one in a sentence."""

_NARROWS = (
    "A fret more narrows the room behind the next one, so a tune that makes nothing of it may cost "
    "more with it than without."
)


def frets_text(advice: FretsAdvice, texture: str, width: int = 80) -> str:
    """The page, in ASCII; width: columns."""
    frets = ", ".join(map(fret_label, advice.own.extra_frets)) or "none"
    capo = f", capo at {fret_label(advice.own.capo)}" if advice.own.capo else ""
    count = advice.rows[0].title if len(advice.rows) == 1 else f"{len(advice.rows)} tunes"
    head = f"{count}: {texture}, {instrument_words(advice.own)} (extra frets: {frets}{capo})"
    lines = [*wrap(plain(head), width), ""]
    if len(advice.rows) == 1:
        lines += _one(advice, width)
    elif advice.rows:
        lines += _many(advice, width)
    for name, why in advice.left_out:
        lines += wrap(plain(f"left out: {name}: {why}"), width, subsequent_indent="  ")
    best = _best(advice) if advice.rows else ""
    if best:
        lines += ["", *wrap(plain(best), width)]
    if any(total.harder if total.fretboard.added else total.easier for total in advice.totals):
        lines += ["", *wrap(_NARROWS, width)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _one(advice: FretsAdvice, width: int) -> Iterator[str]:
    (row,) = advice.rows
    named = [(AS_IT_IS, row.own)]
    named += [(b.words, o) for b, o in zip(advice.fretboards, row.others, strict=True)]
    heads = ("", "work", "against it", "hardest bar", "median")
    rows = [(name, *_cells(outcome, row.own)) for name, outcome in named]
    yield from aligned(heads, rows)
    told: dict[tuple[str, ...], tuple[list[str], Outcome]] = {}
    for name, outcome in named:
        told.setdefault((*_parts(outcome), *outcome.mends), ([], outcome))[0].append(name)
    for names, outcome in told.values():
        yield from _details(" and ".join(names), outcome, width)


def _cells(outcome: Outcome, own: Outcome) -> tuple[str, str, str, str]:
    if outcome.kind == CANNOT:
        return ("-", CANNOT, "-", "-")
    if outcome.kind == UNKNOWN:
        return ("-", "not known: out of time", "-", "-")
    if outcome.cost is None:
        return (f"at least {outcome.least} ms", _against(outcome, own), "-", "-")
    rated = ("-", "-")
    if outcome.hardest is not None:
        rated = (f"{outcome.hardest_bar}: {outcome.hardest} %", f"{outcome.median} %")
    gap = "" if outcome.proven else f" (at least {outcome.least})"
    return (f"{outcome.cost} ms{gap}", "-" if outcome is own else _against(outcome, own), *rated)


def _against(outcome: Outcome, own: Outcome) -> str:
    if own.cost is None:
        return "can be played" if own.kind == CANNOT else "-"
    if outcome.cost is None:
        return f"0 to {(outcome.most or 0) - own.cost} ms more"
    apart = outcome.cost - own.cost
    return f"{abs(apart)} ms {'more' if apart > 0 else 'less'}" if apart else "the same"


def _details(name: str, outcome: Outcome, width: int) -> Iterator[str]:
    """What differs, what is lost, why it cannot be, and what would mend it."""
    parts = _parts(outcome)
    if parts:
        yield from wrap(plain(f"{name}: {'; '.join(parts)}"), width, subsequent_indent="  ")
    for mend in outcome.mends:
        yield from wrap(
            plain(f"mend: {mend}"), width, initial_indent="  ", subsequent_indent="    "
        )


def _parts(outcome: Outcome) -> list[str]:
    parts = []
    if outcome.differs:
        parts.append(f"other frets or strokes in {outcome.differs}")
    parts += [outcome.changes] if outcome.changes else []
    parts += [f"lost: {words}" for words in outcome.losses]
    parts += [outcome.why] if outcome.why else []
    return parts


def _many(advice: FretsAdvice, width: int) -> Iterator[str]:
    heads, under = zip(
        ("", ""), ("", AS_IT_IS), *(one.heads for one in advice.fretboards), strict=True
    )
    rows = [under, *((_short(row.title), *_row(row)) for row in advice.rows)]
    yield from aligned(heads, rows)
    legend = "ms of hand work; the others against it: + more, - less, 0 the same, no: cannot be"
    if any(o.kind == NO_EASIER and o.cost is None for row in advice.rows for o in row.others):
        legend += ", 0..+9: proven not less and at most that much more (--every solves it)"
    if not advice.proven:
        legend += ", ?: not known or not proven in the time"
    yield from wrap(plain(legend), width)
    yield ""
    for row in advice.rows:
        yield from _of_a_tune(row, advice, width)
    if any(total.closed for total in advice.totals):
        yield from wrap(
            "'undersong frets' with such a tune alone looks for what would mend it", width
        )
    yield ""
    yield from aligned(
        ("", "playable", "tunes more, fewer", "easier", "harder"),
        [
            (AS_IT_IS, f"{advice.playable} of {len(advice.rows)}", "-", "-", "-"),
            *(_total(total, len(advice.rows)) for total in advice.totals),
        ],
    )


def _row(row: Row) -> Iterator[str]:
    own = row.own
    yield _alone(own)
    for other in row.others:
        if own.cost is None or other.kind in (CANNOT, UNKNOWN):
            yield _alone(other)
        elif other.cost is None:
            yield f"0..{(other.most or 0) - own.cost:+d}"
        else:
            yield f"{other.cost - own.cost:+d}" if other.cost != own.cost else "0"


def _alone(outcome: Outcome) -> str:
    if outcome.kind in (CANNOT, UNKNOWN) or outcome.cost is None:
        return "no" if outcome.kind == CANNOT else "?"
    return f"{outcome.cost}" if outcome.proven else f"{outcome.cost}?"


def _of_a_tune(row: Row, advice: FretsAdvice, width: int) -> Iterator[str]:
    """Why it cannot be played, and what a fret less does to it."""
    if row.own.why:
        yield from _details(f"{row.title}, {AS_IT_IS}", row.own, width)
    for one, outcome in zip(advice.fretboards, row.others, strict=True):
        if one.taken and row.own.cost is not None and (outcome.why or outcome.differs):
            yield from _details(f"{row.title}, {one.words}", outcome, width)


def _total(total: Total, of: int) -> tuple[str, ...]:
    words = [
        f"{len(n)} {which}" for n, which in ((total.opened, "more"), (total.closed, "fewer")) if n
    ]
    unknown = f", {total.unknown} not known" if total.unknown else ""
    return (
        total.fretboard.words,
        f"{total.playable} of {of}{unknown}",
        ", ".join(words) or "-",
        f"{total.easier} by {total.saved} ms" if total.easier else "-",
        f"{total.harder} by {_more(total)} ms" if total.harder else "-",
    )


def _more(total: Total) -> str:
    if total.more_least == total.more_most:
        return f"{total.more_most}"
    return f"{total.more_least} to {total.more_most}"


def _best(advice: FretsAdvice) -> str:
    """Which single fret more helps most."""
    lacks = [one for one in advice.fretboards if one.added and one.single]
    if not lacks:
        return ""
    unknown = max(total.unknown for total in advice.totals if total.fretboard.added)
    if not advice.best:
        if unknown:
            return "Which fret more would help is not known: allow more time with --time-limit."
        frets = ", ".join(fret_label(one.added[0]) for one in lacks)
        none = (
            f"Of the extra frets {frets} none would help"
            if lacks[1:]
            else f"{frets} would not help"
        )
        return f"{none}: {_no_help(advice)}."
    first = advice.best[0]
    named = " or ".join(fret_label(total.fretboard.added[0]) for total in advice.best)
    most = " most" if lacks[1:] else ""
    alike = ", each alike" if advice.best[1:] else ""
    if not advice.rows[1:]:
        helped = (
            "the tune can be played" if first.opened else f"the tune is easier, by {first.saved} ms"
        )
        return f"{named} would help{most}{alike}: with it {helped}."
    told = [
        *_helped(first),
        *([f"of {many(unknown, 'tune')} it is not known"] if unknown else []),
    ]
    return f"One fret more to ask a maker for: {named} would help{most}{alike}: {'; '.join(told)}."


def _no_help(advice: FretsAdvice) -> str:
    if advice.rows[1:]:
        return "with one fret more no other tune can be played, and none is easier"
    if advice.playable:
        return "with one fret more the tune is no easier"
    return "not with one fret more can the tune be played"


def _helped(total: Total) -> Iterator[str]:
    """What a fret more does over many tunes."""
    if total.opened:
        opened = many(len(total.opened), "more tune")
        yield f"{opened} can be played{_named(total.opened)}"
    if total.easier:
        are = "is" if total.easier == 1 else "are"
        easier = many(total.easier, "tune")
        yield f"{easier} {are} easier, by {total.saved} ms of hand work in all"
    if total.more_least == total.more_most and total.harder:
        costs = "costs" if total.harder == 1 else "cost"
        yield f"{many(total.harder, 'tune')} {costs} more, by {total.more_most} ms in all"
    elif total.harder:
        yield f"{many(total.harder, 'tune')} may cost more, by {_more(total)} ms in all"


def _named(titles: Sequence[str]) -> str:
    more = f" and {len(titles) - NAMES_TOLD} others" if len(titles) > NAMES_TOLD else ""
    return f" ({', '.join(titles[:NAMES_TOLD])}{more})"


def _short(title: str) -> str:
    text = plain(title)
    return text if len(text) <= LONGEST_NAME else f"{text[: LONGEST_NAME - 3].rstrip()}..."
