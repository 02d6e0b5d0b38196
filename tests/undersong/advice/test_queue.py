"""The queue of combinations: every one is given out once, strings together."""

from collections import Counter
from random import Random

from fretboard.fingering import untuned
from tests.undersong.advice.keyed import choices
from tests.undersong.advice.test_keys import read_tune
from undersong.advice.combinations import combinations
from undersong.advice.queue import Group, Queue

TUNINGS = ("D-A-d", "D-A-A", "D-G-d")


def groups() -> list[Group]:
    """Twelve keys on three tunings under two capos, none of which are one problem."""
    wanted = choices(TUNINGS, capos=(0, 5), semitones=tuple(range(-5, 7)))
    return list(combinations(wanted, read_tune("harrow-lane"), "song").values())


def test_each_is_given_out_once_whoever_asks() -> None:
    every = groups()
    for seed in range(20):
        random, queue = Random(seed), Queue(every)
        taken = []
        while (group := queue.next(random.randrange(3))) is not None:
            taken.append(group)
            assert len(taken) + len(queue.left) == len(every)
        assert Counter(map(id, taken)) == Counter(map(id, every))
        assert all(queue.next(who) is None for who in range(3))


def test_a_process_alone_goes_through_in_order_string_by_string() -> None:
    every = groups()
    queue = Queue(every)
    taken = [queue.next(0) for _ in every]
    strings = list(dict.fromkeys(group[0].instrument for group in every))
    inside = [[group for group in every if group[0].instrument == one] for one in strings]
    assert taken[: len(inside[0])] == inside[0]
    order = [group[0].instrument for group in taken if group is not None]
    assert len(list(dict.fromkeys(order))) == sum(
        one != other for one, other in zip([None, *order], order, strict=False)
    )  # each strings' problems stand together
    fretboards = [untuned(one) for one in dict.fromkeys(order)]
    assert fretboards == sorted(fretboards, key=fretboards.index)  # and those of a fretboard


def test_two_processes_begin_on_different_strings_and_share_the_last() -> None:
    every = groups()
    queue = Queue(every)
    one, other = queue.next(0), queue.next(1)
    assert one is not None
    assert other is not None
    assert one[0].instrument != other[0].instrument
    rest = [queue.next(0) for _ in range(len(every) - 2)]
    assert None not in rest  # what the other had taken up is shared where nothing else is left
    assert queue.next(1) is None


def test_what_could_not_be_done_is_left() -> None:
    every = groups()
    queue = Queue(every)
    group = queue.next(0)
    assert group is not None
    queue.back(group)
    assert len(queue.left) == len(every)
    assert any(left is group for left in queue.left)
