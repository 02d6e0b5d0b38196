"""What mends a tab, in words: the smallest change, what is left to mend by hand, and what only the
manner or the right hand would have otherwise.

Public: mend_blocks.
"""

from collections.abc import Iterator, Sequence

from fretboard.hand import FINGERS, NOTER
from undersong.handed.checking import Checked
from undersong.handed.mending import DRONE, MANNER, RIGHT_HAND, Change, number_of, strings
from undersong.handed.times import all_names, beats_of
from undersong.handed.unmended import Fingers, Hint, hints, left_over, other_fingers, put_in
from undersong.sheet.text_signs import ordinal
from undersong.wording import listed, many


def mend_blocks(checked: Checked) -> Iterator[tuple[str, list[str]]]:
    """(a sentence, rows beneath it) for each thing that mends something, or would be otherwise."""
    mends, style = checked.mends, checked.subject.style
    left = checked.manner != style.manner
    put, own_fingers, hinted = put_in(checked), other_fingers(checked), hints(checked)
    over = left_over(checked)
    if mends:
        free = ", the bass left free" if left else ""
        what = "all but what is told below" if put or hinted or over else "it"
        words = f"The smallest change that mends {what} ({many(strings(mends), 'string')}{free}):"
        yield words, _changed(checked, mends)
    begun = "Besides, for" if mends else "For"
    if put:
        yield (
            "Melody notes to put in:",
            [
                f"{one.where}: {_name(checked, one.course)} {_fret(checked, one.fret)}"
                for one in put
            ],
        )
    if own_fingers:
        yield (
            "Other fingers that can lie there:",
            [f"{one.where}: {_fingered(checked, one)}" for one in own_fingers],
        )
    for stroke, words in (
        (False, f"{begun} you to mend, as this right hand has no stroke there:"),
        (True, f"{begun} you to mend:"),
    ):
        rows = [_hinted(checked, hint) for hint in hinted if hint.stroke is stroke]
        if rows:
            yield words, rows
    if over:
        yield (
            f"{begun} you to change, as no one string mends it:",
            [f"{one.where}: {one.words}" for one in over],
        )
    if not mends and not over and not checked.sound_as_far_as_it_goes:
        if not (put or own_fingers or hinted):
            yield "No string has to be changed for that.", []
        elif not (put or hinted):
            yield "No string has to be changed.", []
    besides = " besides" if mends else ""
    hand = tuple(one for one in checked.wishes if one.why == RIGHT_HAND)
    for group, does, has in (
        (tuple(one for one in hand if one.old < 0), "strikes", "leaves silent"),
        (tuple(one for one in hand if one.old >= 0), "leaves out", "strikes with others"),
    ):
        if group:
            words = (
                f"The right hand {style.right_hand.name!r} {does} "
                f"{many(strings(group), 'string')}{besides} that the tab {has}:"
            )
            yield words, _changed(checked, group)
    stopped = tuple(one for one in checked.wishes if one.why == DRONE)
    if stopped:
        words = (
            f"A drone leaves {many(strings(stopped), 'string')}{besides} open that the tab stops:"
        )
        yield words, _changed(checked, stopped)
    wished = tuple(one for one in checked.wishes if one.why == MANNER)
    if left and checked.asides:
        told = f"{checked.asides} more" if mends else many(checked.asides, "string")
        yield f"The manner {style.manner} alone would change {told}.", []
    elif wished and not left:
        words = (
            f"The manner {style.manner} would change {many(strings(wished), 'string')}{besides}:"
        )
        yield words, _changed(checked, wished)


def _changed(checked: Checked, changes: Sequence[Change]) -> list[str]:
    """The changes, those alike within a bar, or each time through, together."""
    in_bar: dict[tuple[int, tuple[object, ...]], list[Change]] = {}
    for one in changes:
        key = (one.written, one.course, one.old, one.new, one.times, one.turns)
        in_bar.setdefault((one.bar, key), []).append(one)
    alike: dict[tuple[object, str], list[Change]] = {}
    for (_, same), group in in_bar.items():
        alike.setdefault((same, beats_of([one.where for one in group])), []).append(group[0])
    rows = []
    for (_, beats), group in alike.items():
        one = group[0]
        bars = all_names(checked.subject.tune, [(other.written, other.named) for other in group])
        often = f" ({one.times} times)" if one.times > 1 else ""
        if one.turns:
            often = f" (the {listed([ordinal(turn) for turn in one.turns])} time)"
        if number_of(one) in checked.split:
            often = " (for some of its strokes: no one fret was found that serves them all)"
        new = "let go" if one.rings and one.new < 0 else _fret(checked, one.new)
        frets = f"{_fret(checked, one.old)} -> {new}"
        rows.append(f"{bars}, {beats}: {_name(checked, one.course)} {frets}{often}")
    return rows


def _name(checked: Checked, course: int) -> str:
    return checked.subject.instrument.course_name(course)


def _fingered(checked: Checked, one: Fingers) -> str:
    signs = NOTER if checked.subject.hand.noter else FINGERS
    return listed([f"{_name(checked, n)} {signs[f]}" for n, f in one.fingers]) or "none"


def _hinted(checked: Checked, hint: Hint) -> str:
    name = checked.subject.instrument.course_name(hint.course)
    frets = " or ".join(_fret(checked, fret) for fret in hint.frets)
    return f"{hint.where}: {name} {_fret(checked, hint.old)} -> {frets}"


def _fret(checked: Checked, fret: int) -> str:
    return "silent" if fret < 0 else checked.subject.label(fret)
