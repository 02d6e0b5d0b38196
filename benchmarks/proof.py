"""What a proof under conditions over the whole tune takes, beside a plain model and beside a pass.

A tune of 32 played bars, a moment a quarter note, states down to the finger. Asked: repeats with
the same hands, and one and two shapes fewer than the best answer with repeats alike has, so that
the limit bites. Each search must end in a proof.

- Enumeration: ``build_graph``, every state of every moment, from nothing.
- One pass: weighing the graph, going over it backward (``outlook``), and forward (``explore``) as
  far above the bound as a search under conditions begins.
- Ours: everything after enumeration, weighing included, to the proof. The target is the project's
  own: five times enumeration and one pass. Processor seconds; the search uses one thread.
- The plain model (``benchmarks.plain``): one Boolean a step, plain costs, two threads, seconds by
  the clock. The whole graph's steps would need more memory than this kind of machine has to spare,
  so it gets only the steps that lie on some way within a wide limit, which spares it most of the
  work: what the best answer costs and as many hundreds of ms more as keep within ``MOST_PLAIN``
  steps. Its time is capped at the larger of 60 s and 100 times ours, and where it ends there
  without a proof, ours takes less than the share that is printed. The target is a hundredth.
"""

import logging
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from statistics import median

import numpy as np

from benchmarks.plain import Plain, Solved, solved, state
from benchmarks.rows import Row
from fretboard.presets import hand, instrument
from scoring.weights import Weights
from solver.conditions import Conditions
from solver.conditions.alike import Alike
from solver.conditions.few_shapes import FewShapes, learned
from solver.graph import ChoiceGraph, build_graph
from solver.held import Held
from solver.links import Link
from solver.moments import moments_of
from solver.passes import Costs, Explored, TooWide, explore, outlook
from solver.proof import FIRST_WIDTH, prove
from solver.question import Found, Question
from solver.style import Style
from solver.watch import Watch
from tune.tune import Tune
from undersong.api import read_tune

TUNE = "harrow-lane"
MANNERS = ("alternating",)
FEWER = {1: "one shape fewer", 2: "two shapes fewer"}
RUNS = 5
TIMES = 5.0
SHARE = 0.01
LEAST_CAP = 60.0
CAP_TIMES = 100
MOST_PLAIN = 1_000_000
MOST_WIDER = 100
WORKERS = 2
LONGEST = 3600.0
ALIKE = Alike("repeats")


@dataclass(frozen=True)
class Sizes:
    """How large an instance may be for the plain model, and how long it may take at least."""

    runs: int = RUNS
    plain: int = MOST_PLAIN
    cap: float = LEAST_CAP


class _Told(logging.Handler):
    """Listens to the search for how many steps it gave to CP-SAT last."""

    def __init__(self) -> None:
        super().__init__(logging.DEBUG)
        self.kept = 0

    def emit(self, record: logging.LogRecord) -> None:
        if record.msg == "gap %.1f keeps %d steps" and isinstance(record.args, tuple):
            self.kept = int(str(record.args[1]))


@dataclass
class _Instance:
    """graph: built once; enumerated, passed: processor seconds a run."""

    tune: Tune
    graph: ChoiceGraph
    enumerated: list[float] = field(default_factory=list)
    passed: list[float] = field(default_factory=list)

    def question(self, conditions: Conditions) -> Question:
        costs = Costs.of(self.graph, Weights())
        return Question(self.tune, self.graph.moments, self.graph, costs, conditions)


def run(
    tune: str = TUNE, manners: tuple[str, ...] = MANNERS, sizes: Sizes | None = None
) -> list[Row]:
    sizes = Sizes() if sizes is None else sizes
    rows: list[Row] = []
    for manner in manners:
        rows += _manner(read_tune(tune), manner, sizes)
    return rows


def _manner(tune: Tune, manner: str, sizes: Sizes) -> list[Row]:
    made = _enumerated(tune, Style(manner), sizes.runs)
    nodes, pairs = made.graph.size
    rows = [
        _told(f"{manner}, moments", len(made.graph.moments)),
        _told("  nodes", nodes),
        _told("  pairs of shapes", pairs),
        _told("  steps in all", sum(map(step_count, made.graph.links))),
        Row("  enumeration", tuple(made.enumerated), "s"),
        Row("  one pass", tuple(made.passed), "s"),
    ]
    alike = prove(made.question(Conditions(alike=ALIKE)), Watch(LONGEST))
    used = _shapes(made.graph, alike)
    for fewer, name in FEWER.items():
        rows += _case(made, Conditions(ALIKE, FewShapes(used - fewer)), name, sizes)
    return rows


def _enumerated(tune: Tune, style: Style, runs: int) -> _Instance:
    """The instance, enumerated and passed over so many times, and once before to warm up."""
    on, by = instrument(), hand()
    moments = moments_of(tune, style, len(on.courses))
    made = _Instance(tune, build_graph(moments, Held(on, by, style)))
    for _ in range(runs):
        begun = time.process_time()
        made.graph = build_graph(moments, Held(on, by, style))
        weighed = time.process_time()
        costs = Costs.of(made.graph, Weights())
        ahead = outlook(made.graph, costs)
        explore(made.graph, costs, ahead, ahead.bound + FIRST_WIDTH)
        made.enumerated.append(weighed - begun)
        made.passed.append(time.process_time() - weighed)
    return made


def _case(made: _Instance, conditions: Conditions, name: str, sizes: Sizes) -> list[Row]:
    ours = []
    with _listening() as told:
        for _ in range(sizes.runs):
            begun = time.process_time()
            found = prove(made.question(conditions), Watch(LONGEST))
            ours.append(time.process_time() - begun)
            if not found.optimal or found.cost != found.bound:
                raise SystemExit(f"{name}: the search was not proven")
    once = median(e + p for e, p in zip(made.enumerated, made.passed, strict=True))
    most = conditions.shapes.most if conditions.shapes else None
    return [
        Row(f"{name}: {most} at most, ours", tuple(ours), "s"),
        Row("  times enumeration and a pass", tuple(each / once for each in ours), "", TIMES),
        _told("  the best costs", found.cost, "ms"),
        _told("  more than without a condition", found.cost - found.free, "ms"),
        _told("  steps that CP-SAT was given last", told.kept),
        *_plain(made, conditions, found, ours, sizes),
    ]


def _plain(
    made: _Instance, conditions: Conditions, found: Found, ours: list[float], sizes: Sizes
) -> list[Row]:
    question = made.question(conditions)
    explored = _within(question, found.cost, sizes.plain)
    stated: Plain = state(question, explored)
    cap = max(sizes.cap, CAP_TIMES * max(ours))
    end: Solved = solved(stated, cap, WORKERS)
    if end.proven and end.best != found.cost:
        raise SystemExit(f"the plain model proves {end.best} ms, our search {found.cost}")
    shares = tuple(each / end.seconds for each in ours)
    met = "nothing" if end.best is None else f"{end.best} ms"
    note = f"not proven: less than that; met {met}, bound {end.bound} ms"
    return [
        _told("  plain model: steps", stated.steps),
        _told("    within so much of the free best", explored.limit - found.free, "ms"),
        Row("    stating it", (stated.seconds,), "s"),
        _told("    memory to state it", round(stated.mib), "MiB"),
        Row("    solving it", (end.seconds,), "s", note="" if end.proven else "capped"),
        Row("    ours to that", shares, "", SHARE, "" if end.proven else note),
    ]


def _within(question: Question, least: int, most: int) -> Explored:
    """The ways of at most ``least`` ms, and of as many hundreds of ms more as make at most so many
    steps."""
    graph, costs = question.graph, question.costs
    ahead = outlook(graph, costs)
    explored = explore(graph, costs, ahead, least)
    for _ in range(MOST_WIDER):
        try:
            explored = explore(graph, costs, ahead, explored.limit + 100, most)
        except TooWide:
            break
    return explored


def _shapes(graph: ChoiceGraph, found: Found) -> int:
    """How many shapes a pupil has to learn for it."""
    nodes = zip(graph.layers, found.nodes, strict=True)
    return len({learned(layer.choice(node).grip) for layer, node in nodes} - {None})


def step_count(link: Link) -> int:
    """How many steps from node to node a link stands for."""
    before, after = link.before, link.after
    fits = link.ways.fits.sum(axis=2)
    by_shape = np.zeros((len(before.shapes), len(after.kinds)), np.int64)
    np.add.at(by_shape, before.shape, fits[before.label])
    if link.head is None or link.starts is None:
        tails, heads = np.nonzero(link.allowed)
    else:
        tails = np.repeat(np.arange(len(before.shapes)), np.diff(link.starts))
        heads = link.head.astype(np.intp)
    return int(by_shape[tails, after.kind[heads]].sum())


@contextmanager
def _listening() -> Iterator[_Told]:
    log, told = logging.getLogger("undersong.solver"), _Told()
    level, spread = log.level, log.propagate
    log.addHandler(told)
    log.setLevel(logging.DEBUG)
    log.propagate = False
    try:
        yield told
    finally:
        log.removeHandler(told)
        log.setLevel(level)
        log.propagate = spread


def _told(name: str, value: float, unit: str = "") -> Row:
    return Row(name, (value,), unit)
