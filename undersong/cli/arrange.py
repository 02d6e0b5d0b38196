"""``undersong arrange``: a tune goes in, a tab comes out."""

from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.asked import Asked, hand_of, instrument_of, style_of, tune_of, weights_of
from undersong.cli.conditions import ConditionsAsked, condition_options, conditions_of
from undersong.cli.endings import UNPROVEN, say
from undersong.cli.kinds import fret, seconds, weights, whole
from undersong.cli.output import check_targets, put_out
from undersong.cli.searching import watched

if TYPE_CHECKING:
    from solver.result import Arrangement
    from solver.watch import Watch


@click.command(
    "arrange",
    epilog="What comes out goes under a voice or another instrument that has the melody: chords, "
    "bars and tempo count, melody notes do not. TUNE is a file (.abc, .musicxml, .xml, .mxl, "
    f".chart, .txt), - for standard input, or a bundled tune's name. {CAUTION}",
)
@click.argument("tune")
@click.option("--choose", metavar="TEXT", help="Which tune of the file: X: number or title.")
@click.option("--form", metavar="NAME", help="abc, musicxml, mxl or chart, if no suffix says it.")
@click.option(
    "--tempo", metavar="N", callback=whole(10, 400, "beats a minute"), help="Beats a minute."
)
@click.option(
    "--transpose",
    metavar="N",
    default="0",
    callback=whole(-24, 24, "semitones"),
    help="Semitones up, or down if negative.",
)
@click.option(
    "--instrument",
    metavar="NAME|FILE",
    default="standard",
    help="'undersong instruments' lists them.",
    show_default=True,
)
@click.option("--tuning", metavar="TEXT", help="Such as 'D3 A3 D4', D-A-A or ionian.")
@click.option("--capo", metavar="FRET", default="0", help="The fret that it sits at.")
@click.option("--scale", metavar="LENGTH", help="Nut to bridge: 686, 686mm or 27in.")
@click.option(
    "--hand",
    metavar="NAME|SPAN|FILE",
    default="medium",
    show_default=True,
    help="'undersong hands' lists them; or a measured span such as 190mm. "
    "A preference, not medical advice.",
)
@click.option(
    "--bass",
    metavar="MANNER",
    default="alternating",
    show_default=True,
    help="'undersong manners' lists them.",
)
@click.option(
    "--right-hand",
    metavar="NAME|FILE",
    default="bass-then-strum",
    show_default=True,
    help="'undersong right-hands' lists them.",
)
@click.option(
    "--no-chord",
    metavar="rest|carry",
    default="rest",
    show_default=True,
    help="Where no chord sounds: rest, or carry the chord before on.",
)
@click.option(
    "--bass-ceiling", metavar="FRET", callback=fret, help="Highest fret of the bass string."
)
@click.option("--highest", metavar="FRET", callback=fret, help="Highest fret of the others.")
@click.option("--bass-above", is_flag=True, help="Let others sound below the bass, at a price.")
@click.option("--weights", metavar="FILE", help="A TOML file of weights, such as high-bass = 20.")
@click.option(
    "--weight",
    metavar="NAME=MS",
    multiple=True,
    callback=weights,
    help="One weight; may be given again. 'undersong weights' lists them.",
)
@click.option(
    "--to",
    metavar="FILE",
    multiple=True,
    help="Where to write; the suffix says what (- for text on standard output). Again for more.",
)
@click.option("--melody-on-top", is_flag=True, help="Text: print the melody string on top.")
@click.option("--from-capo", is_flag=True, help="Count frets from the capo, printed and asked.")
@click.option(
    "--width",
    metavar="N",
    default="80",
    callback=whole(40, 400, "columns"),
    help="Text: how wide the page is.",
)
@click.option("--unicode", is_flag=True, help="Text: drawn lines, real sharp and flat signs.")
@click.option(
    "--time-limit",
    metavar="N",
    default="60",
    callback=seconds,
    help="Seconds that the search may take; then the best so far comes out.",
)
@condition_options
def command(**options: Any) -> None:
    """Turn a tune into a tab you can play: chords with a moving bass, proven best."""
    from solver.result import PROVEN
    from undersong.session import Price, Session

    wanted = ConditionsAsked.taken_from(options)
    asked = Asked(**options)
    check_targets(asked)
    instrument, hand, wishes = instrument_of(asked), hand_of(asked), weights_of(asked)
    style = style_of(asked, instrument.capo)
    tune = tune_of(asked)
    conditions = conditions_of(wanted, asked.tune, instrument, asked.from_capo)
    for notice in dict.fromkeys(tune.notices):
        say(f"note: {notice}")
    session = Session(tune, instrument=instrument, hand=hand, style=style)

    def work(watch: "Watch") -> tuple["Arrangement", tuple[Price, ...]]:
        found = session.arrange(wishes, conditions, watch=watch)
        return found, session.prices(found, watch)

    arrangement, prices = watched(work, asked.time_limit)
    put_out(arrangement, asked)
    for price in prices:
        say(str(price))
    say(_verdict(arrangement, session.seconds))
    if arrangement.proof.status != PROVEN:
        raise click.exceptions.Exit(UNPROVEN)


def _verdict(arrangement: "Arrangement", searched: float) -> str:
    """The last line: how good the answer is, and how long it took."""
    proof = arrangement.proof
    cost = f"{arrangement.cost} ms of hand work"
    if arrangement.asked_cost != arrangement.cost:
        cost += f", {arrangement.asked_cost} ms with what the conditions charge"
    missing = f", at most {proof.gap} ms above the best" if proof.gap else ""
    return f"{proof.status}: {cost}{missing}; searched for {searched:.2f} s"
