"""Mends of what was asked of the whole tune: a pin dropped, a limit loosened, a price for a ban.

Public: wish_ideas.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace

from solver.conditions import Conditions
from solver.conditions.alike import Alike
from solver.conditions.few_shapes import FewShapes
from solver.conditions.quota import Quota
from solver.demands import Wanted
from undersong.mends.mend import Idea, Kind
from undersong.wording import many

PRICE = 300
"""ms that a price in place of a ban begins with."""

Reach = Callable[[Quota], tuple[int, int] | None]
"""The least and the most that can be counted; None where that is not known."""


def wish_ideas(wanted: Wanted, reach: Reach, fewest: int) -> Iterator[Idea]:
    """One change each, what drops a wish altogether first, for it is soonest solved, then the
    nearest; fewest: different shapes that the tune needs at least."""
    conditions, written = wanted.conditions, wanted.instrument.told

    def idea(kind: Kind, words: str, option: str, loses: str, changed: Conditions) -> Idea:
        return Idea(kind, words, option, loses, replace(wanted, conditions=changed))

    for index, pin in enumerate(conditions.pins):
        rest = conditions.pins[:index] + conditions.pins[index + 1 :]
        typed = f"leave out --{'forbid' if pin.forbid else 'pin'} '{pin.typed(written)}'"
        yield idea(
            Kind.PIN,
            f"drop the pin '{pin.shown(written)}'",
            typed,
            "that pin",
            replace(conditions, pins=rest),
        )
    for index, quota in enumerate(conditions.quotas):
        yield from _quota_ideas(index, quota, reach(quota), conditions, idea)
    if conditions.shapes is not None:
        yield from _shape_ideas(conditions.shapes, fewest, conditions, idea)
    if conditions.alike is not None:
        alike = conditions.alike
        yield idea(
            Kind.ALIKE, "let repeats differ", f"leave out --alike {alike.what}",
            "repeats may differ", replace(conditions, alike=None),
        )  # fmt: skip
        if alike.price is None:
            yield idea(
                Kind.ALIKE, f"allow bars that differ, at {PRICE} ms each", f"--alike-price {PRICE}",
                "some repeats may differ", replace(conditions, alike=Alike(alike.what, PRICE)),
            )  # fmt: skip


Make = Callable[[Kind, str, str, str, Conditions], Idea]


def _quota_ideas(
    index: int, quota: Quota, reach: tuple[int, int] | None, conditions: Conditions, idea: Make
) -> Iterator[Idea]:
    before, after = conditions.quotas[:index], conditions.quotas[index + 1 :]
    dropped = idea(
        Kind.NO_LIMIT, f"drop '{quota}'", f"leave out {_typed(quota)}", "that limit",
        replace(conditions, quotas=before + after),
    )  # fmt: skip
    yield replace(dropped, which=index)
    for looser in _looser(quota, reach):
        made = idea(
            Kind.LIMIT, f"ask for {looser} in place of {quota}", _typed(looser),
            "the limit asked for", replace(conditions, quotas=(*before, looser, *after)),
        )  # fmt: skip
        further = (looser.most or 0) - (quota.most or 0) + (quota.least or 0) - (looser.least or 0)
        yield replace(made, which=index, loosened=further)


def _shape_ideas(
    shapes: FewShapes, fewest: int, conditions: Conditions, idea: Make
) -> Iterator[Idea]:
    milder = None if shapes.most is None or shapes.known is None else FewShapes(shapes.most)
    yield idea(
        Kind.KNOWN if shapes.known is not None else Kind.SHAPES,
        "allow any shapes" if milder is None else "allow shapes that are not known",
        "leave out --known" if shapes.known is not None else "leave out --shapes",
        "more to learn", replace(conditions, shapes=milder),
    )  # fmt: skip
    if shapes.known is not None and shapes.price is None:
        yield idea(
            Kind.KNOWN, f"allow other shapes, at {PRICE} ms each", f"--known-price {PRICE}",
            "some shapes must be learned",
            replace(conditions, shapes=replace(shapes, price=PRICE)),
        )  # fmt: skip
    if shapes.most is not None:
        least = max(shapes.most + 1, fewest)
        for most in (least, least + 1, least + 3, least + 7, least + 15):
            allowed = idea(
                Kind.SHAPES, f"allow {many(most, 'shape')}", f"--shapes {most}",
                f"{most - shapes.most} more to learn",
                replace(conditions, shapes=replace(shapes, most=most)),
            )  # fmt: skip
            yield replace(allowed, loosened=most - shapes.most)


def _looser(quota: Quota, reach: tuple[int, int] | None) -> list[Quota]:
    """The nearest limits that may be held."""
    found = []
    if quota.most is not None:
        least = max(quota.most + 1, reach[0] if reach else 0)
        found += [replace(quota, most=most) for most in (least, least + 1, least + 3)]
    if quota.least is not None:
        most = min(quota.least - 1, reach[1] if reach else quota.least)
        found += [replace(quota, least=least) for least in (most, most - 1, most - 3) if least > 0]
    return found


def _typed(quota: Quota) -> str:
    """The quota as options."""
    return " ".join(f"--at-{'most' if most else 'least'} '{text}'" for most, text in quota.typed)
