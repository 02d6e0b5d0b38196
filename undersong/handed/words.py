"""The report on a tab in words: bar by bar, then what it costs and how it is mended.

Public: report.
"""

from itertools import groupby
from statistics import median_low
from textwrap import wrap

from fretboard.hand import CAUTION
from scoring.difficulty import bar_difficulties
from solver.result import PROVEN, Arrangement
from undersong.handed.checking import Checked
from undersong.handed.mending import Change
from undersong.handed.tab import PAGE, SHAPES

_FORMS = {PAGE: "lines of numbers under beats", SHAPES: "shapes"}
_LABEL = 9


def report(checked: Checked, width: int = 80) -> str:
    """The whole report, no line wider than ``width``, a newline at its end."""
    lines = [f"{checked.subject.tune.title}: {_read(checked)}"]
    lines += _labelled("warning", checked.warnings, width)
    if checked.missed:
        many = f"{checked.missed} column{'s' * (checked.missed != 1)}"
        lines += _labelled(
            "note",
            (
                f"for {many} the right hand {checked.subject.style.right_hand.name!r} has no "
                "stroke; they are looked at, and left out of the cost",
            ),
            width,
        )
    for place, findings in groupby(checked.findings, key=lambda f: f.where.partition(",")[0]):
        lines += ["", place[:1].upper() + place[1:]]
        for finding in findings:
            at = finding.where.partition(", ")[2]
            words = f"{at}: {finding.words}" if at else finding.words
            lines += _labelled("fault" if finding.fault else "remark", (words,), width)
    lines += ["", *wrap(_sum(checked), width)]
    lines += _cost(checked, width)
    lines += ["", *wrap(CAUTION, width)]
    return "\n".join(lines) + "\n"


def _read(checked: Checked) -> str:
    tab = checked.tab
    form = _FORMS.get(tab.form, "lines of numbers")
    if tab.form == SHAPES and not tab.barred:
        count = len(tab.bars[0].columns)
        return f"{count} {form} without bar lines"
    return f"{len(tab.bars)} bar{'s' * (len(tab.bars) != 1)} of {form}"


def _labelled(label: str, texts: tuple[str, ...], width: int) -> list[str]:
    lines: list[str] = []
    for text in texts:
        indent = " " * (_LABEL + 2)
        lines += wrap(f"  {label:<{_LABEL}}{text}", width, subsequent_indent=indent)
    return lines


def _sum(checked: Checked) -> str:
    faults, remarks = len(checked.faults), len(checked.remarks)
    told = [f"{faults} fault{'s' * (faults != 1)}"] if faults else []
    told += [f"{remarks} remark{'s' * (remarks != 1)}"] if remarks else []
    if checked.sound:
        more = f" ({told[0]})" if told else ""
        return f"Sound: it is this tune, and this hand can play it as it stands{more}."
    if not faults:
        return (
            "Bar by bar nothing is wrong, but it cannot be played through as it stands"
            f"{f' ({told[0]})' if told else ''}."
        )
    return f"{' and '.join(told)}."


def _cost(checked: Checked, width: int) -> list[str]:
    nearest, best = checked.nearest, checked.best
    if nearest is None or best is None:
        return wrap(f"What it costs is not known: {checked.why}.", width)
    lines: list[str] = []
    if checked.changes:
        manner = "" if checked.manner == checked.subject.style.manner else ", the bass left free"
        many = len(checked.changes)
        what = (
            "What the manner would change" if checked.sound else "The smallest change that mends it"
        )
        lines += ["", f"{what} ({many} string{'s' * (many != 1)}{manner}):"]
        for change in checked.changes:
            lines += wrap(f"  {_changed(checked, change)}", width, subsequent_indent="    ")
    if checked.asides:
        lines += wrap(
            f"The manner {checked.subject.style.manner} alone would change {checked.asides} more.",
            width,
        )
    lines += ["", *wrap(_priced(checked, nearest, best), width)]
    return lines + wrap(_difficult(checked, nearest), width)


def _changed(checked: Checked, change: Change) -> str:
    instrument = checked.subject.instrument
    name = instrument.course_name(change.course)
    old = "silent" if change.old < 0 else instrument.label(change.old)
    new = "silent" if change.new < 0 else instrument.label(change.new)
    times = f" ({change.times} times)" if change.times > 1 else ""
    wish = ", a wish of the manner" if change.wish else ""
    return f"{change.where}: {name} {old} -> {new}{times}{wish}"


def _priced(checked: Checked, nearest: Arrangement, best: Arrangement) -> str:
    subject = "Changed so" if checked.changes else "In its easiest fingers"
    text = f"{subject} it costs {nearest.cost} ms of hand work"
    if nearest.proof.status != PROVEN or best.proof.status != PROVEN:
        return f"{text}; the best found for this tune costs {best.cost} ms (time ran out)."
    if checked.manner != checked.subject.style.manner:
        return (
            f"{text}; the best of manner {checked.subject.style.manner} costs {best.cost} ms, "
            "which asks for other bass notes."
        )
    more = nearest.cost - best.cost
    if more == 0:
        return f"{text}, as little as can be."
    return f"{text}, {more} ms more than the best, {best.cost} ms."


def _difficult(checked: Checked, nearest: Arrangement) -> str:
    percents = bar_difficulties(nearest.choices, nearest.moments, nearest.instrument, nearest.hand)
    number = max(percents, key=lambda bar: percents[bar])
    bar = checked.subject.tune.bars[checked.subject.tune.played[number - 1].written]
    return (
        f"Difficulty: the hardest bar is {bar.number or 'the pickup'} (rated {percents[number]}, "
        "where 100 is all that this hand can do in time or stretch), the median "
        f"{median_low(percents.values())}."
    )
