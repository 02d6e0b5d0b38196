"""``undersong learn``: weights under which what a player likes comes out best."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.asked import Asked, weights_of
from undersong.cli.conditions import ConditionsAsked, condition_options
from undersong.cli.endings import UNPROVEN, Refused, naming, say
from undersong.cli.handed_in import answer_in, refuse_settings
from undersong.cli.kept import kept_manners
from undersong.cli.kinds import whole
from undersong.cli.opening import Opened, opened
from undersong.cli.options import TUNE_IS, from_capo, time_limit, tune_options
from undersong.cli.output import refuse_nowhere, refuse_taken
from undersong.cli.searching import watched

if TYPE_CHECKING:
    from solver.watch import Standing, Watch
    from undersong.learn import Lesson

OWN = frozenset(("tune", "files", "weights", "weight", "rounds", "to", "time_limit"))
"""What may be asked where only finished answers are named."""

EVERY = 5.0
"""Seconds between two lines of progress."""


@click.command(
    "learn",
    epilog="What is liked: FILEs written with --to FILE.json, each just as it is, and whatever "
    "--pin and --keep fix in a tune (what is forbidden, limited or alike is asked of every "
    "answer). A tune comes before the files. The weights start from the defaults, changed by "
    "--weights and --weight, and change as little as can be, each measured against its own size: "
    "from 40 to 20 is as much as from 4 to 2. None falls below a tenth of its default. Nothing is "
    f"changed: the weights are only shown, or written where --to says. {TUNE_IS} {CAUTION}",
)
@tune_options
@click.argument("files", metavar="[FILE...]", nargs=-1)
@click.option(
    "--to", metavar="FILE", help="Where to write the weights: FILE.toml, to be given to --weights."
)
@click.option(
    "--rounds",
    metavar="N",
    default="200",
    show_default=True,
    callback=whole(1, 10_000, "rounds"),
    help="How often weights may be tried; each time the tune is solved anew.",
)
@from_capo("in what you ask, such as --pin")
@time_limit("Seconds that it may take; then the best weights tried are shown.")
@condition_options
@click.pass_context
def command(
    context: click.Context,
    /,
    files: tuple[str, ...],
    to: str | None,
    rounds: int,
    **options: Any,
) -> None:
    """Suggest weights under which what you like is the best there is, or nearest to it."""
    from solver.errors import NotPlayable, Unfulfillable
    from undersong.learn import FileLike, PinLike, learn_weights, liked_pins

    first, limit = options["tune"], options["time_limit"]
    if to is not None:
        _check_target(to, (first, *files))
    only_files = first.lower().endswith(".json")
    begun: Opened | None = None
    wanted = ConditionsAsked.taken_from(options)
    asked = Asked(**options, to=(), melody_on_top=False, unicode=False, width=80)
    if only_files:
        refuse_settings(context, OWN)
    weights = weights_of(asked)
    named = (first, *files) if only_files else files
    likes: list[FileLike | PinLike] = [FileLike(name, answer_in(name)) for name in named]
    if only_files:

        def work(watch: Watch) -> Lesson:
            return learn_weights(likes, weights, rounds=rounds, watch=watch)
    else:
        begun = opened(asked, wanted)
        if begun.conditions.costliest is not None:
            say("note: costliest changed nothing: weights are learned from the sum of the work")
        pins = liked_pins(begun.conditions)
        if not pins:
            raise Refused(
                f"nothing is pinned in {first}; say what you like there with --pin or --keep"
            )
        told = begun.session.instrument.told
        likes += [PinLike(pin, pin.shown(told)) for pin in pins]

        def work(watch: Watch) -> Lesson:
            return learn_weights(
                likes,
                begun.weights,
                session=begun.session,
                conditions=begun.conditions,
                rounds=rounds,
                watch=watch,
            )

    try:
        lesson = watched(lambda watch: work(_telling(watch)), limit)
    except (NotPlayable, Unfulfillable):
        if begun is not None:
            for clause in kept_manners(wanted.keep, begun.session, begun.conditions):
                say(f"note: {clause}")
        raise
    _tell(lesson)
    if to is not None:
        _write(lesson, to)
    if lesson.end == "unfinished":
        raise click.exceptions.Exit(UNPROVEN)


def _telling(watch: Watch) -> Watch:
    """The same watch, with a line on stderr every few seconds where no line of progress stands."""
    if watch.tell is not None:
        return watch
    from time import perf_counter

    said = perf_counter()

    def tell(standing: Standing) -> None:
        nonlocal said
        if perf_counter() - said >= EVERY:
            said = perf_counter()
            say(f"note: {standing.stage} ({said - watch.begun:.0f} s of {watch.seconds:.0f})")

    return replace(watch, tell=tell)


def _tell(lesson: Lesson) -> None:
    from undersong.learn.words import lesson_text

    click.echo(lesson_text(lesson), nl=False)


def _check_target(to: str, named: tuple[str, ...]) -> None:
    if Path(to).suffix.lower() != ".toml":
        raise Refused(f"--to {to}: weights are written as TOML; end the name in .toml")
    refuse_nowhere(to)
    refuse_taken(to, named, "what is to be learned from")


def _write(lesson: Lesson, to: str) -> None:
    """The file of weights, where there is anything to suggest."""
    from undersong.learn.words import lesson_toml
    from undersong.sheet.write import put_file

    if not lesson.changed:
        say(f"{to} was not written: there is nothing to suggest")
        return
    with naming("--to"):
        put_file(Path(to), lesson_toml(lesson).encode())
