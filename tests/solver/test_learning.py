"""The master problem of learning weights: against all small whole weights, tried one by one."""

import random
from itertools import product

import pytest

from solver.errors import ArrangeError
from solver.learning import Count, Liked, Range, fit, floors, nearest, tolls
from solver.watch import Stopped, Watch

HIGH = 4


def drawn(seed: int) -> tuple[list[Liked], Range]:
    """One or two likes of one or two ways among three or four rivals, three weights of 0 to 4."""
    dice = random.Random(f"learning {seed}")

    def count() -> Count:
        return Count(tuple(dice.randint(0, 3) for _ in range(3)), dice.choice((0, 0, 0, 1, 2)))

    likes = [
        Liked(
            tuple(count() for _ in range(dice.choice((1, 1, 2)))),
            tuple(count() for _ in range(dice.randint(1, 4))),
        )
        for _ in range(dice.randint(1, 2))
    ]
    present = tuple(dice.randint(1, HIGH) for _ in range(3))
    low = tuple(dice.randint(0, now) for now in present)
    return likes, Range(present, low, (HIGH,) * 3, tuple(dice.randint(1, 3) for _ in range(3)))


def all_weights(bounds: Range) -> list[tuple[int, ...]]:
    return list(
        product(*(range(low, high + 1) for low, high in zip(bounds.low, bounds.high, strict=True)))
    )


def change(bounds: Range, weights: tuple[int, ...]) -> int:
    return sum(t * abs(w - p) for t, w, p in zip(bounds.toll, weights, bounds.present, strict=True))


def holds(like: Liked, weights: tuple[int, ...], margin: int) -> bool:
    return any(
        all(
            way.cost(weights) + margin <= rival.cost(weights)
            for rival in like.rivals
            if rival != way
        )
        for way in like.ways
    )


def left(like: Liked, weights: tuple[int, ...]) -> int:
    liked = min(way.cost(weights) for way in like.ways)
    return max(0, liked - min(rival.cost(weights) for rival in like.rivals))


@pytest.mark.parametrize("margin", [0, 1])
def test_the_least_change_is_that_of_trying_all_weights(margin: int) -> None:
    none = some = 0
    for seed in range(60):
        likes, bounds = drawn(seed)
        fits = [w for w in all_weights(bounds) if all(holds(like, w, margin) for like in likes)]
        found = fit(likes, bounds, margin, Watch(), 10.0)
        if not fits:
            assert found is None, seed
            none += 1
            continue
        assert found is not None, seed
        assert found.optimal
        assert found.weights in fits
        assert found.change == change(bounds, found.weights) == min(change(bounds, w) for w in fits)
        some += found.change > 0
    assert none > 5
    assert some > 5


def test_the_least_distance_is_that_of_trying_all_weights() -> None:
    positive = 0
    for seed in range(60):
        likes, bounds = drawn(seed)
        matters = [
            any(w.amounts[t] != r.amounts[t] for k in likes for w in k.ways for r in k.rivals)
            for t in range(3)
        ]
        size = sum(t * p for t, p, m in zip(bounds.toll, bounds.present, matters, strict=True) if m)
        tried = [
            w
            for w in all_weights(bounds)
            if all(m or v == p for v, p, m in zip(w, bounds.present, matters, strict=True))
            and sum(t * v for t, v, m in zip(bounds.toll, w, matters, strict=True) if m) >= size
        ]
        least = min(sum(left(like, w) for like in likes) for w in tried)
        found = nearest(likes, bounds, Watch(), 10.0)
        assert found.optimal
        assert found.distance == least == sum(left(like, found.weights) for like in likes)
        assert found.change == min(
            change(bounds, w) for w in tried if sum(left(like, w) for like in likes) == least
        )
        positive += least > 0
    assert positive > 5


def test_tolls_and_floors_worked_by_hand() -> None:
    assert tolls((0, 600, 40, 0), (15, 600, 20, 0)) == (66, 1, 25, 1000)
    assert floors((0, 600, 40, 7), (15, 600, 25, 100)) == (0, 60, 3, 7)


def test_calling_everything_free_is_no_way_out() -> None:
    """A way that has more of everything stays dearer under whatever weights there may be."""
    like = Liked((Count((2, 2)),), (Count((1, 1)),))
    present, usual = (50, 50), (50, 50)
    bounds = Range(present, floors(present, usual), (100, 100), tolls(present, usual))
    assert fit([like], bounds, 0, Watch(), 5.0) is None
    assert nearest([like], bounds, Watch(), 5.0).distance == 100


def test_what_cannot_be() -> None:
    with pytest.raises(ArrangeError, match="one way at least"):
        Liked((), (Count((1,)),))
    with pytest.raises(ArrangeError, match="a weight of 5 ms does not lie within 6 to 9"):
        Range((5,), (6,), (9,), (1,))


def test_it_can_be_stopped() -> None:
    watch = Watch()
    watch.stop.now()
    likes, bounds = drawn(1)
    with pytest.raises(Stopped):
        fit(likes, bounds, 0, watch, 5.0)
