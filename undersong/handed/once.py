"""What is the same of several bars, or at several times through, told once.

Public: told_once.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from undersong.handed.finding import Finding


def told_once(
    findings: Iterable[Finding],
    place: Callable[[Finding], int],
    names: Callable[[Sequence[Finding]], str],
) -> list[Finding]:
    """What is the same at the same ``place`` as one finding, with the names of all its bars."""
    alike: dict[tuple[object, ...], list[Finding]] = {}
    for one in findings:
        key = (place(one), one.played > 0, one.tick, one.kind, one.words, one.course)
        alike.setdefault(key, []).append(one)
    return [_together(group, names) for group in alike.values()]


def _together(group: Sequence[Finding], names: Callable[[Sequence[Finding]], str]) -> Finding:
    first = group[0]
    if len(group) == 1:
        return first
    again = tuple(finding for one in group for finding in (one, *one.again))
    _, comma, rest = first.where.partition(", ")
    return replace(first, where=f"{names(again)}{comma}{rest}", again=again)
