"""The tunes of a set in the very order in which they were named.

Public: ways_as_named.
"""

from solver.set_order import SetQuestion

Begun = tuple[int, tuple[int, ...]]
"""ms so far, and the ways so far."""


def ways_as_named(question: SetQuestion) -> tuple[int, ...]:
    """A way for each tune, in the order named, which all together come cheapest; none where an end,
    a medley or a row of one key forbids that order."""
    if not _allowed(question):
        return ()
    begun: dict[int, Begun] = {}
    for tune in range(question.tunes):
        here = [way for way, of in enumerate(question.tune) if of == tune]
        begun = {way: so for way in here if (so := _up_to(question, begun, tune, way)) is not None}
    return min(begun.values(), default=(0, ()))[1]


def _allowed(question: SetQuestion) -> bool:
    tunes = range(question.tunes)
    if question.first not in (None, 0) or question.last not in (None, tunes[-1]):
        return False
    if any(max(group) - min(group) != len(group) - 1 for group in question.together):
        return False
    row = 0
    for tune in tunes:
        row = row + 1 if tune and question.key[tune] == question.key[tune - 1] else 1
        if question.in_a_row is not None and row > question.in_a_row:
            return False
    return True


def _up_to(question: SetQuestion, begun: dict[int, Begun], tune: int, way: int) -> Begun | None:
    """The cheapest ways up to that one; None where nothing leads to it."""
    own = question.own[way]
    if tune == 0:
        return question.begin[way] + own, (way,)
    return min(
        (
            (cost + step + own, (*ways, way))
            for before, (cost, ways) in begun.items()
            if (step := question.step[before][way]) is not None
        ),
        default=None,
    )
