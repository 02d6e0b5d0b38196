"""``undersong arrange``: a tune goes in, a tab comes out."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.asked import Asked
from undersong.cli.conditions import ConditionsAsked, condition_options
from undersong.cli.endings import ANSWER, UNPROVEN, say
from undersong.cli.kept import kept_manners
from undersong.cli.mending import Cannot, cannot, say_cannot
from undersong.cli.opening import opened
from undersong.cli.options import TUNE_IS, shape_options, sheet_options, tune_options
from undersong.cli.output import check_targets, put_out
from undersong.cli.searching import watched
from undersong.cli.unheard import tell_unprinted
from undersong.wording import many

if TYPE_CHECKING:
    from scoring.weights import Weights
    from solver.conditions import Conditions
    from solver.result import Arrangement
    from solver.watch import Watch
    from undersong.session import Price, Session


EXAMPLES = """\b
Such as:
  undersong arrange harrow-lane --hand small --bass roots
  undersong arrange harrow-lane --texture solo --chords proposed
  undersong arrange harrow-lane --alike repeats --to harrow-lane.txt
"""


@click.command(
    "arrange",
    epilog=f"{EXAMPLES}\nA song and a bass part go under a voice or another instrument that has "
    "the melody: chords, bars and tempo count, melody notes do not. A solo and a drone play it. "
    f"{TUNE_IS} {CAUTION}",
)
@tune_options
@click.option(
    "--to",
    metavar="FILE",
    multiple=True,
    help="Where to write; the suffix says what (- for text on standard output). Again for more.",
)
@sheet_options
@shape_options
@condition_options
def command(**options: Any) -> None:
    """Turn a tune into a tab you can play: chords with a moving bass, proven best."""
    from solver.errors import ConditionError, NotFound, NotPlayable, Unfulfillable
    from solver.result import PROVEN
    from solver.watch import OutOfTime

    wanted = ConditionsAsked.taken_from(options)
    asked = Asked(**options)
    check_targets(asked)
    begun = opened(asked, wanted)
    to = [".txt" if name == "-" else Path(name).suffix.lower() for name in asked.to or ("-",)]
    tell_unprinted(asked, to)
    session, wishes, conditions = begun.session, begun.weights, begun.conditions

    def work(watch: "Watch") -> "tuple[Arrangement, tuple[Price, ...]] | Cannot":
        try:
            found = session.arrange(wishes, conditions, watch=watch)
        except (NotPlayable, Unfulfillable) as error:
            return cannot(error, session, conditions, wishes, asked.transpose, watch, asked.octave)
        except (OutOfTime, NotFound):
            _say_what_is_usual(session, conditions, wishes, watch)
            raise
        if found.proof.status != PROVEN:
            _say_what_is_usual(session, conditions, wishes, watch, found=True)
        return found, session.prices(found, watch.within(max(3.0, session.seconds)))

    def kept() -> tuple[str, ...]:
        return kept_manners(wanted.keep, session, conditions)

    try:
        outcome = watched(work, asked.time_limit)
    except ConditionError as error:
        raise ConditionError("; ".join((str(error), *kept()))) from None
    if isinstance(outcome, Cannot):
        say_cannot(outcome, kept())
        raise click.exceptions.Exit(ANSWER)
    arrangement, prices = outcome
    put_out(arrangement, asked)
    for price in prices:
        say(str(price))
    say(_verdict(arrangement, session.seconds))
    if arrangement.proof.status != PROVEN:
        raise click.exceptions.Exit(UNPROVEN)


USUAL_SECONDS = 3.0
"""What may be taken for each number of shapes that might do instead."""


def _say_what_is_usual(
    session: "Session",
    conditions: "Conditions",
    weights: "Weights",
    watch: "Watch",
    *,
    found: bool = False,
) -> None:
    """How many shapes the easiest way uses, where fewer were asked for and that was too hard; and
    where nothing was found, a number that can be had."""
    from solver.conditions.few_shapes import learned
    from solver.errors import ArrangeError
    from solver.watch import Watch

    shapes = conditions.shapes
    if shapes is None or shapes.most is None:
        return
    try:
        easiest = session.search.solve(weights, watch=Watch(USUAL_SECONDS, stop=watch.stop))
    except ArrangeError:
        return
    count = len({learned(choice.grip) for choice in easiest.choices} - {None})
    say(
        f"note: the easiest way uses {many(count, 'shape')}; the further below that is asked, the "
        "longer a proof takes"
    )
    for part in () if found else (2, 4):
        most = count - (count - shapes.most) // part
        fewer = replace(conditions, shapes=replace(shapes, most=most))
        try:
            other = session.search.solve(
                weights, fewer, watch=Watch(USUAL_SECONDS, stop=watch.stop)
            )
        except ArrangeError:
            continue
        say(f"note: {most} can be had: for {other.cost} ms of hand work, as far as was looked")
        return


def _verdict(arrangement: "Arrangement", searched: float) -> str:
    """The last line: how good the answer is, and how long it took."""
    proof = arrangement.proof
    cost = f"{arrangement.cost} ms of hand work"
    if arrangement.asked_cost != arrangement.cost:
        cost += f", {arrangement.asked_cost} ms with what the conditions charge"
    missing = f", at most {proof.gap} ms above the best" if proof.gap else ""
    return f"{proof.status}: {cost}{missing}; searched for {searched:.2f} s"
