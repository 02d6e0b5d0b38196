"""The report on a tab in words: bar by bar, then what it costs and how it is mended.

Public: report.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby

from fretboard.hand import CAUTION
from scoring.difficulty import BarRating, Rating
from solver.result import PROVEN, Arrangement
from undersong.compared import named_bars
from undersong.handed.checking import Checked
from undersong.handed.finding import Finding
from undersong.handed.mend_words import mend_blocks
from undersong.handed.mending import DRONE, MANNER, RIGHT_HAND, strings
from undersong.handed.rated import beyond, in_time_at, too_fast
from undersong.handed.tab import PAGE, SHAPES
from undersong.handed.times import all_names, beats_of
from undersong.handed.whole import bar_ranges, missing_words
from undersong.sheet.text_difficulty import bar_words, difficulty_words, parts_words
from undersong.wording import listed, many, wrap

_FORMS = {PAGE: "lines of numbers under beats", SHAPES: "shapes"}
_LABEL = 9
_BARS_TOLD = 4
"""How many bars without time enough are told one by one."""


def report(checked: Checked, width: int = 80) -> str:
    """The whole report, no line wider than ``width``, a newline at its end."""
    lines = wrap(f"{checked.subject.tune.title}: {_read(checked)}", width, subsequent_indent="  ")
    lines += _labelled("warning", checked.warnings, width)
    lines += _labelled("note", tuple(_strokes(checked)), width)
    for place, findings in groupby(checked.findings, key=lambda f: f.bar_name):
        lines += ["", place[:1].upper() + place[1:]]
        for finding, where in _together(list(findings)):
            words = f"{where}: {finding.words}" if where else finding.words
            lines += _labelled("fault" if finding.fault else "remark", (words,), width)
    for words in _sum(checked):
        lines += ["", *wrap(words, width)]
    lines += _cost(checked, width)
    lines += ["", *wrap(CAUTION, width)]
    return "\n".join(lines) + "\n"


def _strokes(checked: Checked) -> Iterator[str]:
    """What is said of columns at which the right hand has no stroke."""
    tune, name = checked.subject.tune, checked.subject.style.right_hand.name
    for bars, words in (
        (checked.left_out, "looked at, and left out of the cost"),
        (checked.later, "taken for its next one in the bar"),
    ):
        if bars:
            they_are = "it is" if len(bars) == 1 else "they are"
            yield (
                f"for {many(len(bars), 'column')} in {bar_ranges(tune, sorted(set(bars)))} the "
                f"right hand {name!r} has no stroke; {they_are} {words}"
            )


def _read(checked: Checked) -> str:
    """What was read, and how."""
    tab = checked.tab
    form = _FORMS.get(tab.form, "lines of numbers")
    if tab.form == SHAPES and not tab.barred:
        read = f"{len(tab.bars[0].columns)} {form} without bar lines"
    else:
        read = f"{len(tab.bars)} bar{'s' * (len(tab.bars) != 1)} of {form}"
    if tab.turned:
        read += ", melody string " + ("first" if tab.form == SHAPES else "on top")
    if tab.numbering.seven_is_six_plus:
        read += ", 7 the fret between 6 and 8"
    return read


def _together(findings: list[Finding]) -> Iterator[tuple[Finding, str]]:
    """What is said of several places of a bar, said once, with the places in words."""
    places: dict[tuple[str, str], list[str]] = {}
    for finding in findings:
        places.setdefault((finding.kind, finding.words), []).append(finding.where)
    for finding in findings:
        where = places.pop((finding.kind, finding.words), None)
        if where is not None:
            yield finding, beats_of(where)


def _labelled(label: str, texts: tuple[str, ...], width: int) -> list[str]:
    lines: list[str] = []
    for text in texts:
        indent = " " * (_LABEL + 2)
        lines += wrap(f"  {label:<{_LABEL}}{text}", width, subsequent_indent=indent)
    return lines


def _sum(checked: Checked) -> Iterator[str]:
    """What it comes to, a paragraph each."""
    faults, remarks = _told(checked.faults), _told(checked.remarks)
    told = [many(faults, "fault")] if faults else []
    told += [many(remarks, "remark")] if remarks else []
    if checked.sound_as_far_as_it_goes:
        yield _playable(checked, f" ({told[-1]})" if remarks else "")
    elif not faults:
        bars = all_names(checked.subject.tune, [(one.written, one.named) for one in checked.mends])
        yield (
            "Each shape by itself is right, but they cannot all be played in turn as they stand"
            f"{f' ({told[0]})' if told else ''}: the way does not go on in {bars}, where the "
            "change below mends it."
        )
    else:
        yield f"{' and '.join(told)}."
    if checked.not_there and not checked.sound_as_far_as_it_goes:
        yield f"Not there, so not judged: {_missing(checked)}."


def _missing(checked: Checked) -> str:
    return missing_words(checked.subject.tune, checked.missing, checked.times_missing)


def _told(findings: Sequence[Finding]) -> int:
    """How many sentences they are: what is the same at several beats of a bar is one."""
    return len({(one.bar_name, one.kind, one.words) for one in findings})


def _playable(checked: Checked, more: str) -> str:
    """A sentence or two on a tab without a fault in what is there."""
    rating = checked.rating
    sound, this, rest = "Sound: it is this tune", "It is this tune", ""
    if checked.not_there:
        this = "What is there is a part of this tune"
        sound = this.replace("is a part", "is sound: it is a part")
        rest = f" Still missing: {_missing(checked)}."
    elif checked.faults:
        this = "As far as the tune goes it is right"
        sound = "As far as the tune goes it is sound"
    if checked.nearest is None:
        return (
            f"{this}, and bar by bar nothing is wrong{more}; whether this hand can play it through "
            f"is not known.{rest}"
        )
    if rating is None or not (too_fast(rating) or beyond(rating)):
        keep = ""
        if checked.remarks or checked.wishes or checked.asides:
            keep = " Nothing has to be changed."
        return f"{sound}, and this hand can play it as it stands{more}.{keep}{rest}"
    late = too_fast(rating)
    if not late:
        bars = "; ".join(_rated(beyond(rating), checked)[:_BARS_TOLD])
        return (
            f"{this}, and this hand can only just play it as it stands{more}: there is the time, "
            f"but with all that the hand has to do besides, it is rated above 100 % in {bars}."
            f"{rest}"
        )
    told = _rated(late, checked)
    bars, left = "; ".join(told[:_BARS_TOLD]), len(told) - _BARS_TOLD
    others = f"; and {many(left, 'bar')} more" if left > 0 else ""
    slower = in_time_at(checked)
    beats = "" if slower is None else f" At --tempo {slower} there would be time."
    return (
        f"{this}, and this hand can stop every shape{more}, but not in the time that there is: "
        f"{bars}{others}.{beats}{rest}"
    )


def _rated(bars: Sequence[BarRating], checked: Checked) -> list[str]:
    """``bar 3 (129 %): 0.05 s of movement …``, what is the same each time through told once."""
    tune, noter = checked.subject.tune, checked.subject.hand.noter
    alike: dict[tuple[int, int, str], list[int]] = {}
    for bar in bars:
        key = (tune.played[bar.bar - 1].written, bar.rating, parts_words(bar.parts, noter))
        alike.setdefault(key, []).append(bar.bar)
    return [
        f"{named_bars(tune, played)} ({rating} %): {parts}"
        for (_, rating, parts), played in alike.items()
    ]


def _cost(checked: Checked, width: int) -> list[str]:
    nearest, best = checked.nearest, checked.best
    if nearest is None or best is None:
        return ["", *wrap(f"What it costs is not known: {checked.why}.", width)]
    lines: list[str] = []
    for words, rows in mend_blocks(checked):
        lines += ["", *wrap(words, width)]
        for row in rows:
            lines += wrap(f"  {row}", width, subsequent_indent="    ")
    lines += ["", *wrap(_priced(checked, nearest, best), width)]
    if checked.rating is not None:
        lines += wrap(_difficult(checked, nearest, checked.rating), width)
    return lines


def _priced(checked: Checked, nearest: Arrangement, best: Arrangement) -> str:
    subject = "Changed so" if checked.mends else "In its cheapest fingers"
    if checked.wishes:
        named = {
            MANNER: f"the manner {checked.manner}",
            RIGHT_HAND: "the right hand",
            DRONE: "a drone",
        }
        whose = [name for why, name in named.items() if why in {w.why for w in checked.wishes}]
        who, has = listed(whose), "has" if len(whose) == 1 else "have"
        them = "it" if strings(checked.wishes) == 1 else "them"
        subject += f", with {many(strings(checked.wishes), 'string')} as {who} {has} {them},"
    text = f"{subject} it costs {nearest.cost} ms of hand work"
    if checked.not_there:
        text = f"{subject.rstrip(',')}, and with the best there is for what is missing, it costs"
        text += f" {nearest.cost} ms of hand work"
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


def _difficult(checked: Checked, nearest: Arrangement, rating: Rating) -> str:
    """In the page's own words; of the bars that are there, and in which fingers, where some are
    written."""
    columns = (column for bar in checked.tab.bars for column in bar.columns)
    signs = (sign for column in columns for sign in column.strings if sign is not None)
    which = ""
    if checked.fingered is not None and checked.fingered is not nearest:
        which = "in the fingers that are written"
    elif checked.fingered is None and any(sign.finger is not None for sign in signs):
        which = "in the cheapest fingers, not those that are written"
    if not checked.not_there:
        return difficulty_words(checked.fingered or nearest, which)
    if not rating.hardest:
        return "Difficulty of what is there: none, the hand need not move."
    there = " ".join(filter(None, ("Difficulty of what is there", which)))
    hardest = bar_words(rating.hardest_bar, nearest.tune, nearest.hand.noter)
    return (
        f"{there}: hardest {rating.hardest} %, median {rating.median} % of what this hand can do. "
        f"Hardest is {hardest}."
    )
