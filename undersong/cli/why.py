"""``undersong why``: why a bar is played as it is, and what other choices there would cost."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.asked import Asked
from undersong.cli.conditions import ConditionsAsked, condition_options
from undersong.cli.endings import Refused, not_proven
from undersong.cli.handed_in import counted_answer, refuse_settings
from undersong.cli.kinds import whole
from undersong.cli.opening import opened
from undersong.cli.options import TUNE_IS, from_capo, page_width, time_limit, tune_options
from undersong.cli.searching import watched

if TYPE_CHECKING:
    from solver.watch import Watch
    from undersong.why import Explanation

OWN = frozenset(("tune", "bar", "time", "more", "width", "from_capo", "time_limit"))
"""What may be asked of a finished answer; all else stands in its file."""


@click.command(
    "why",
    epilog="The bar is named as printed. Instead of a tune an answer may be named that was written "
    "with --to FILE.json: then its own settings hold. Another choice is another fret, string or "
    f"stroke somewhere in the bar; each is the best such, all else solved anew. {TUNE_IS} "
    f"{CAUTION}",
)
@tune_options
@click.option(
    "--bar",
    metavar="N",
    callback=whole(0, 9_999, "bars"),
    help="Which bar, 0 for a pickup; needed.",
)
@click.option(
    "--time",
    metavar="N",
    default="1",
    callback=whole(1, 999, "times through"),
    help="Which time through, where it is repeated.  [default: 1]",
)
@click.option(
    "--more",
    metavar="N",
    default="3",
    show_default=True,
    callback=whole(0, 20, "other choices"),
    help="How many other choices to price.",
)
@from_capo("in what is told and in what you ask")
@page_width("How wide the page is.")
@time_limit("Seconds that it may take; then what was found so far is told.")
@condition_options
@click.pass_context
def command(
    context: click.Context, /, bar: int | None, time: int, more: int, **options: Any
) -> None:
    """Say why a bar is played as it is: costs, room to choose, and other choices' prices."""
    from undersong.why import explain_bar
    from undersong.why.text import explanation_text

    if bar is None:
        raise Refused("--bar: name the bar, such as --bar 9")
    width, limit, from_capo = options["width"], options["time_limit"], options["from_capo"]
    finished = options["tune"].lower().endswith(".json")
    if finished:
        refuse_settings(context, OWN)
        arrangement = counted_answer(options["tune"], from_capo)

        def work(watch: Watch) -> Explanation:
            return explain_bar(arrangement, bar, time, more, watch=watch)
    else:
        wanted = ConditionsAsked.taken_from(options)
        asked = Asked(**options, to=(), melody_on_top=False, unicode=False)
        begun = opened(asked, wanted)

        def work(watch: Watch) -> Explanation:
            found = begun.session.arrange(begun.weights, begun.conditions, watch=watch)
            return explain_bar(found, bar, time, more, session=begun.session, watch=watch)

    explanation = watched(work, limit)
    click.echo(explanation_text(explanation, width, from_capo), nl=False)
    if not explanation.proven:
        not_proven()
