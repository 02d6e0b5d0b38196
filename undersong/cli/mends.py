"""``undersong mends``: what clashes in a tune that cannot be played as asked, and what mends it."""

from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.asked import Asked
from undersong.cli.conditions import ConditionsAsked, condition_options
from undersong.cli.endings import ANSWER, say
from undersong.cli.kept import kept_manners
from undersong.cli.kinds import whole
from undersong.cli.mending import looked_for, say_mends
from undersong.cli.opening import opened
from undersong.cli.options import TUNE_IS, sheet_options, tune_options
from undersong.cli.searching import watched

if TYPE_CHECKING:
    from solver.clash import Clash
    from solver.watch import Watch
    from undersong.mends import Mends


@click.command("mends", epilog=f"{TUNE_IS} {CAUTION}")
@tune_options
@click.option(
    "--most",
    metavar="N",
    default="10",
    show_default=True,
    callback=whole(1, 200, "mends"),
    help="How many to show.",
)
@sheet_options
@condition_options
def command(most: int, **options: Any) -> None:
    """Say what clashes where a tune cannot be played as asked, and the cheapest changes."""
    wanted = ConditionsAsked.taken_from(options)
    asked = Asked(to=(), **options)
    begun = opened(asked, wanted)
    session, weights, conditions = begun.session, begun.weights, begun.conditions

    def work(watch: "Watch") -> "tuple[Clash, Mends] | None":
        return looked_for(
            session, conditions, weights, asked.transpose, watch, asked.time_limit, asked.octave
        )

    found = watched(work, asked.time_limit)
    if found is None:
        click.echo("it can be played as asked; there is nothing to mend")
        return
    clash, mends = found
    click.echo(str(clash))
    for clause in kept_manners(wanted.keep, session, conditions):
        say(f"note: {clause}")
    for mend in mends.best(most):
        click.echo(f"mend: {mend}")
    say_mends(mends, 0)
    raise click.exceptions.Exit(ANSWER)
