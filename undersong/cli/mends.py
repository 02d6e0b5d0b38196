"""``undersong mends``: what clashes in a tune that cannot be played as asked, and what mends it."""

from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.asked import Asked, hand_of, instrument_of, style_of, tune_of, weights_of
from undersong.cli.conditions import ConditionsAsked, condition_options, conditions_of
from undersong.cli.endings import ANSWER
from undersong.cli.kinds import whole
from undersong.cli.mending import looked_for, say_mends
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
    from undersong.session import Session

    wanted = ConditionsAsked.taken_from(options)
    asked = Asked(to=(), **options)
    instrument, hand, weights = instrument_of(asked), hand_of(asked), weights_of(asked)
    style = style_of(asked, instrument.capo)
    tune = tune_of(asked)
    conditions = conditions_of(wanted, asked.tune, instrument, asked.from_capo)
    session = Session(tune, instrument=instrument, hand=hand, style=style)

    def work(watch: "Watch") -> "tuple[Clash, Mends] | None":
        return looked_for(session, conditions, weights, asked.transpose, watch, asked.time_limit)

    found = watched(work, asked.time_limit)
    if found is None:
        click.echo("it can be played as asked; there is nothing to mend")
        return
    clash, mends = found
    click.echo(str(clash))
    for mend in mends.best(most):
        click.echo(f"mend: {mend}")
    say_mends(mends, 0)
    raise click.exceptions.Exit(ANSWER)
