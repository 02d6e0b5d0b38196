"""``undersong chords``: chords proposed for a melody, as a chart to play from and to edit."""

import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from undersong.cli.endings import Refused, naming, say
from undersong.cli.kinds import weights, whole
from undersong.cli.options import TUNE_IS, time_limit
from undersong.cli.output import check_target
from undersong.cli.searching import watched
from undersong.cli.table import show

if TYPE_CHECKING:
    from scoring.harmony_weights import HarmonyWeights
    from solver.proposal import Proposal
    from tune.tune import Tune

SUFFIXES = (".chart", ".txt")


def _list_weights(context: click.Context, _: click.Parameter, wanted: bool) -> None:
    """Prints the prices and ends."""
    if not wanted or context.resilient_parsing:
        return
    from scoring.harmony import TERMS

    rows = [
        (term.about.name, str(term.about.default), term.about.unit, term.about.meaning)
        for term in TERMS
    ]
    show(("name", "points", "for each", "what it means"), rows)
    context.exit()


@click.command(
    "chords",
    epilog="The chart says that its chords are proposed. Edit it, then give it to --chords of "
    "arrange and the other commands: they lay it over the melody, bar for bar, and say that the "
    f"chords were edited where they are no longer those proposed. {TUNE_IS}",
)
@click.argument("tune")
@click.option(
    "--choose",
    metavar="TEXT",
    help="Which tune of a file with several: its number (after X: in ABC) or its title.",
)
@click.option("--form", metavar="NAME", help="abc, musicxml, mxl or chart, if no suffix says it.")
@click.option(
    "--transpose",
    metavar="N",
    default="0",
    callback=whole(-24, 24, "semitones"),
    help="Semitones up, or down if negative.",
)
@click.option(
    "--more",
    metavar="NAME",
    multiple=True,
    help="Offer more than the key's primary chords (in D: D, G, A): secondary, the scale's other "
    "chords (Em, F#m, Bm); sevenths (A7); applied, major chords that lead to another chord (E to "
    "A). May be given again.",
)
@click.option(
    "--per",
    metavar="half-bar|bar",
    default="half-bar",
    show_default=True,
    help="How often the chord may change at most.",
)
@click.option("--weights", metavar="FILE", help="A file of weights, one a line: change = 150.")
@click.option(
    "--weight",
    metavar="NAME=POINTS",
    multiple=True,
    callback=partial(weights, unit="points"),
    help="What one wish costs, such as change=150; may be given again. --list-weights lists them.",
)
@click.option(
    "--list-weights",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_list_weights,
    help="List the weights of proposed chords, and stop.",
)
@click.option(
    "--to", metavar="FILE", default="-", help="Where to write the chart: FILE.chart or FILE.txt."
)
@time_limit("Seconds that the search may take.")
def command(
    tune: str,
    choose: str | None,
    form: str | None,
    transpose: int,
    more: tuple[str, ...],
    per: str,
    weights: str | None,
    weight: tuple[tuple[str, int], ...],
    to: str,
    time_limit: float,
) -> None:
    """Propose chords for a melody that has none: those that cost least by weights of their own."""
    from solver.proposal import propose
    from tune.errors import Place, TuneError
    from tune.readers.chart import write_chart

    if to != "-":
        check_target(to, tune, SUFFIXES)
    _check_names(more, per)
    prices = _weights(weights, weight)
    music = _read(tune, choose, form, transpose)
    try:
        found = watched(lambda watch: propose(music, more, per, prices, watch), time_limit)
    except TuneError as error:
        raise error.at(Place("standard input" if tune == "-" else tune)) from None
    if music.has_chords:
        say("note: the tune has chords of its own; what is proposed stands in their place")
    _put(write_chart(found.tune), to)
    say(_verdict(found))


def _check_names(more: tuple[str, ...], per: str) -> None:
    from scoring.harmony_modes import MORE
    from solver.proposal_slots import BAR, HALF_BAR

    for name in more:
        if name not in MORE:
            raise Refused(f"--more: there are no {name!r} chords; write one of {', '.join(MORE)}")
    if per not in (HALF_BAR, BAR):
        raise Refused(f"--per: write {HALF_BAR} or {BAR}, not {per!r}")


def _weights(file: str | None, single: tuple[tuple[str, int], ...]) -> "HarmonyWeights":
    from scoring.harmony_weights import HarmonyWeights

    with naming("--weights"):
        prices = HarmonyWeights() if file is None else HarmonyWeights.from_file(Path(file))
    with naming("--weight"):
        return prices.updated(dict(single))


def _read(name: str, choose: str | None, form: str | None, transpose: int) -> "Tune":
    from tune.readers import FORMS
    from undersong.api import read_tune

    if form is not None and form not in FORMS:
        raise Refused(f"--form: there is no form {form!r}; choose one of {', '.join(FORMS)}")
    music = read_tune(name, choose, form)
    for notice in dict.fromkeys(music.notices):
        say(f"note: {name}: {notice}")
    with naming(f"--transpose {transpose}"):
        return music.transposed(transpose)


def _put(chart: str, to: str) -> None:
    """The chart in its file, or on standard output."""
    if to == "-":
        click.echo(chart, nl=False)
        sys.stdout.flush()
        return
    from undersong.sheet.write import put_file

    with naming("--to"):
        put_file(Path(to), chart.encode())


def _verdict(found: "Proposal") -> str:
    """The last line: how far the chords carry the melody as written, and what they cost."""
    carried, notes = found.covered
    changes, before = found.changes, found.before_first
    one = notes == 1
    pickup = f" (not counting {before} before the first chord)" if before else ""
    return (
        f"proposed: {changes} change{'' if changes == 1 else 's'} of chord as written, tones of "
        f"the chord for {carried} of the {notes} melody note{'' if one else 's'} that "
        f"begin{'s' if one else ''} on a beat{pickup}; {found.cost} points, none cost less"
    )
