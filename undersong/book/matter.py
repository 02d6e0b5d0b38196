"""What stands before and behind the tunes of a book: contents, what could not be made, indexes.

Public: contents_of, failures_of, index_sections, CONTENTS, FAILED.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from undersong.book.bound import Bound
from undersong.book.columns import Row, Section
from undersong.book.entry import Entry, Failure
from undersong.book.indexes import Index, indexes_of
from undersong.book.lines import (
    Columns,
    group_row,
    kept_together,
    leading_row,
    table_row,
    table_top,
    text_rows,
)
from undersong.book.look import Look
from undersong.book.words import key_words, shown, tuning_words
from undersong.sheet.lettering import POINT
from undersong.wording import listed

CONTENTS = "Contents"
FAILED = "What could not be made"

_LYING_OPEN = (
    "Where it spares a turn of the page in the midst of a tune, the page before the tune is left "
    "empty; even pages lie on the left."
)


def contents_of(
    entries: Sequence[Entry], bound: Bound, behind: Mapping[str, int], look: Look
) -> Section:
    """Every tune that has pages, in the book's order, then what stands behind the tunes; behind:
    title → page."""
    made = [entry for entry in entries if bound.page_of(entry.number) is not None]
    keys = {entry.number: _told(key_words(part.key) for part in entry.parts) for entry in made}
    tunings = {
        entry.number: _told(tuning_words(part.tuning, part.capo) for part in entry.parts)
        for entry in made
    }
    columns = Columns.holding(look, list(keys.values()), list(tunings.values()))
    rows = [
        table_row(
            shown(entry.title),
            keys[entry.number],
            tunings[entry.number],
            bound.page_of(entry.number) or 0,
            look,
            columns,
        )
        for entry in made
    ]
    for at, (title, page) in enumerate(behind.items()):
        above = 0.6 * look.text if at == 0 and rows else 0.0
        rows.append(table_row(title, "", "", page, look, columns, above))
    top = table_top(look, columns) if made else None
    turned = any(entry.page_count > len(entry.parts) for entry in made)
    note = _LYING_OPEN if turned else ""  # whatever the pages, which are not counted yet
    return Section(CONTENTS, tuple(_few_alone(rows)), top=top, note=note, fresh=True)


def _few_alone(rows: Sequence[Row]) -> list[Row]:
    """The last three stay together, so that no page has one line alone."""
    many = len(rows)
    return [replace(row, joined=many - 4 < at < many - 1) for at, row in enumerate(rows)]


def _told(words: Iterator[str]) -> str:
    """Each once, in order."""
    return "; ".join(dict.fromkeys(words))


def index_sections(entries: Sequence[Entry], bound: Bound, look: Look) -> tuple[Section, ...]:
    """Every index that has anything in it."""
    columns = look.most_columns
    return tuple(
        Section(index.title, tuple(_index_rows(index, look, columns)), columns, index.note)
        for index in indexes_of(entries, bound)
    )


def _index_rows(index: Index, look: Look, columns: int) -> Iterator[Row]:
    room = look.column(columns)
    for group in index.groups:
        heading = shown(group.heading)
        yield group_row(heading, room, look)
        again = group_row(heading, room, look, again=True)
        lines = [leading_row(line, room, look) for line in group.lines]
        for row in kept_together(lines):
            yield replace(row, again=again)


def failures_of(entries: Sequence[Entry], look: Look) -> tuple[Section, ...]:
    """Tunes and versions that could not be made, with reasons and what would do."""
    rows: list[Row] = []
    for entry in entries:
        if entry.failures:
            rows += _failed(entry, look)
    if not rows:
        return ()
    return (Section(FAILED, tuple(rows), note=_note(entries)),)


def _note(entries: Sequence[Entry]) -> str:
    none = sum(not entry.parts for entry in entries)
    some = sum(bool(entry.parts and entry.failures) for entry in entries)
    told = []
    if none:
        told.append(f"{none} tune{'s' * (none > 1)} in no version")
    if some:
        told.append(f"{some} tune{'s' * (some > 1)} in some versions but not in all")
    return f"{'; '.join(told)}.".capitalize()


def _failed(entry: Entry, look: Look) -> Iterator[Row]:
    yield from text_rows(
        shown(entry.title), look, size=11 * POINT * look.k, bold=True, gap=4 * look.k, joined=True
    )
    yield from text_rows(shown(entry.source), look, size=look.small, soft=True, joined=True)
    for failure, levels in _alike(entry.failures):
        yield from text_rows(
            _reason(failure, levels), look, gap=0.8 * look.k, joined=bool(failure.mends)
        )
        if failure.mends:
            yield from text_rows("What would do:", look, gap=0.5 * look.k, joined=True)
        for mend in failure.mends:
            yield from text_rows(shown(mend), look, indent=4.5 * look.k, dot=True, gap=0.4 * look.k)


def _alike(failures: Sequence[Failure]) -> Iterator[tuple[Failure, tuple[int, ...]]]:
    """Failures for one reason as one, with all their levels and mends."""
    found: dict[tuple[str, str], list[Failure]] = {}
    for failure in failures:
        found.setdefault((failure.texture, failure.reason), []).append(failure)
    for some in found.values():
        mends = tuple(dict.fromkeys(mend for one in some for mend in one.mends))
        levels = tuple(one.level for one in some if one.level is not None)
        yield replace(some[0], mends=mends), levels


def _reason(failure: Failure, levels: Sequence[int]) -> str:
    which = [failure.texture] if failure.texture else []
    if levels:
        which.append(f"level{'s' * (len(levels) > 1)} {listed([str(level) for level in levels])}")
    reason = shown(failure.reason)
    if reason[-1:] not in ".!?…":
        reason += "."
    if which:
        return f"{', '.join(which).capitalize()}: {reason}"
    if re.match(r"\S+\.\w+[:,]", reason):
        return reason  # it begins with the name of a file, which has its own letters
    return f"{reason[:1].upper()}{reason[1:]}"
