"""``undersong levels``: up to five versions of one tune, from the first lesson on.

Public: command, which_levels, levels_in, refuse_right_hand, verdict, end.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from statistics import median_low
from typing import TYPE_CHECKING, Any, TypeVar

import click

from fretboard.hand import CAUTION
from undersong.cli.asked import Asked
from undersong.cli.conditions import ConditionsAsked, condition_options
from undersong.cli.endings import ANSWER, UNPROVEN, Refused, say
from undersong.cli.kinds import whole
from undersong.cli.opening import opened
from undersong.cli.options import TUNE_IS, shape_options, sheet_options, tune_options
from undersong.cli.pages import Pages
from undersong.cli.searching import watched
from undersong.cli.table import show
from undersong.cli.unheard import USUAL_RIGHT_HAND, tell_unprinted
from undersong.wording import wrap

if TYPE_CHECKING:
    from collections.abc import Sequence

    from solver.watch import Watch
    from undersong.levels import Level, LevelSet, Made

Function = TypeVar("Function", bound=Callable[..., Any])

_WHICH = (
    click.option(
        "--levels",
        "file",
        metavar="FILE",
        help="Your own levels, in place of those of the texture.",
    ),
    click.option("--only", metavar="N-N", help="Only some of the levels, such as 1-3 or 2."),
    click.option(
        "--close",
        metavar="MS",
        callback=whole(0, 1_000_000, "ms"),
        help="Keep each version close to the next harder one, so that less is learned anew: what "
        "another fret costs on a string that both strike at the same moment, such as 100.",
    ),
)


def which_levels(function: Function) -> Function:
    """Gives a click command that makes levels the choice of them."""
    for option in reversed(_WHICH):
        function = option(function)
    return function


_RANGE = re.compile(r"\s*([0-9]{1,2})\s*(?:[-–]\s*([0-9]{1,2})\s*)?")


@click.command(
    "levels",
    epilog="No bar of an easier version is harder than the same bar of the next: rated by its "
    "hardest moment, in percent: the share of the time that the move needs or of the hand's "
    "greatest stretch, and a little for a shift, a finger laid across strings and each finger put "
    "down. A levels file is TOML: a table [[level]] for each, the easiest first, with teaches, "
    "bass, and where wanted texture, right-hand, fingers, reach, time, highest, shifts, barred, "
    "unused, one-fingering. A version depends on those that are made beside it, so that --only 1-2 "
    "may give another level 2 than all five. "
    f"{TUNE_IS} {CAUTION}",
)
@tune_options
@which_levels
@click.option(
    "--to",
    "folders",
    metavar="FOLDER",
    multiple=True,
    help="Where to write level-1.json and so on; made if need be.",
)
@click.option(
    "--as",
    "kinds",
    metavar="SUFFIX",
    multiple=True,
    help="With --to: what to write besides, such as .txt; again for more.",
)
@sheet_options
@shape_options
@condition_options
def command(**options: Any) -> None:
    """Make easier and harder versions of a tune, nested bar by bar, each with what it teaches."""
    wanted = ConditionsAsked.taken_from(options)
    file, only, close = (options.pop(name) for name in ("file", "only", "close"))
    folders, kinds = options.pop("folders"), options.pop("kinds")
    if len(folders) > 1:
        raise Refused("--to: the versions go into one folder; name one, and other files with --as")
    folder = next(iter(folders), None)
    asked = Asked(**options, to=())
    if asked.bass is not None:
        raise Refused("--bass: each level has a bass manner of its own; write it in a levels file")
    pages = Pages(asked, folder, kinds, ())
    if ".json" not in pages.suffixes:
        pages.suffixes.insert(0, ".json")
    levels = levels_in(file, only, asked.texture)
    begun = opened(asked, wanted, {level.texture or asked.texture for level in levels})
    refuse_right_hand(asked, levels)
    tell_unprinted(asked, pages.suffixes if folder is not None else ())

    def work(watch: Watch) -> LevelSet:
        return begun.session.levels(
            levels, begun.weights, begun.conditions, close=close, watch=watch
        )

    found = watched(work, asked.time_limit)
    for one in found.met:
        if one.arrangement is not None:
            pages.put(one.arrangement, f"level-{one.level.number}")
    _tell(found, asked.width)
    end(found)


def end(found: LevelSet) -> None:
    """Ends the command where a level cannot be met, or where more time might have given more."""
    unmet = [one for one in found.made if one.arrangement is None]
    if any(not one.open for one in unmet):
        raise click.exceptions.Exit(ANSWER)
    if unmet or not found.proven:
        raise click.exceptions.Exit(UNPROVEN)


def levels_in(file: str | None, only: str | None, texture: str) -> tuple[Level, ...]:
    """The levels of the file or the texture, those asked for."""
    from solver.style import TEXTURES
    from undersong.levels import levels_for, read_levels

    if file is not None:
        if _RANGE.fullmatch(file) and not Path(file).exists():
            raise Refused(
                f"--levels {file}: there is no such file; for some levels write --only {file}"
            )
        levels = read_levels(Path(file), file)
    elif texture in TEXTURES:
        levels = levels_for(texture)
    else:
        raise Refused(
            f"--texture: there is no texture {texture!r}; the names are {', '.join(TEXTURES)}"
        )
    if only is None:
        return levels
    read = _RANGE.fullmatch(only)
    first, last = (0, 0) if read is None else (int(read[1]), int(read[2] or read[1]))
    if not 1 <= first <= last <= len(levels):
        raise Refused(
            f"--only: write one of the {len(levels)} levels, or the first and the last, such as "
            f"1-{len(levels)}, not {only!r}"
        )
    return levels[first - 1 : last]


def refuse_right_hand(asked: Asked, levels: Sequence[Level]) -> None:
    if asked.right_hand != USUAL_RIGHT_HAND and all(level.right_hand for level in levels):
        raise Refused("--right-hand: every level in the levels file has its own; leave it out")


def _tell(found: LevelSet, width: int) -> None:
    from undersong.levels import reasons, steps_of
    from undersong.sheet.text_difficulty import tempo_advice

    show(("level", "hardest bar", "median", "shapes"), [_row(one) for one in found.made])
    if found.met:
        click.echo()
    for one in found.met:
        words = f"Level {one.level.number}: {one.level.teaches}"
        if one.arrangement is not None:
            words = f"{words} {tempo_advice(one.arrangement)}".rstrip()
        click.echo("\n".join(wrap(words, width, subsequent_indent="  ")))
    steps = steps_of(found)
    if steps:
        click.echo()
    for step in steps:
        click.echo(f"Level {step.lower} to {step.higher}:")
        for change in step.changes:
            lines = wrap(change, width, initial_indent="  ", subsequent_indent="    ")
            click.echo("\n".join(lines))
    for reason in reasons(found):
        say(reason)
    say(verdict(found))


def _row(one: Made) -> Sequence[str]:
    from undersong.compared import bar_cell, figures

    number = str(one.level.number)
    if one.arrangement is None:
        why = "no time" if one.out_of_time else "not met" if one.open else "cannot be met"
        return number, why, "-", "-"
    rated = one.ratings
    hardest = max(rated, key=lambda bar: (rated[bar], -bar))
    return (
        number,
        f"{bar_cell(one.arrangement.tune, (hardest,))}: {rated[hardest]} %",
        f"{median_low(rated.values())} %",
        str(figures(one.arrangement).shapes),
    )


def verdict(found: LevelSet) -> str:
    """The last line: how good the set is, and how long it took."""
    from tune.bar_names import bars_named

    if not found.met:
        return (
            "nothing was written; 'undersong mends' looks for changes that would do; searched for "
            f"{found.seconds:.2f} s"
        )
    many = len(found.met)
    words = f"{found.cost} ms of hand work in {many} version{'s' * (many > 1)}"
    if not found.proven:
        words = f"best so far: {words}"
    elif found.best:
        words = f"proven the best {'nested set' if many > 1 else 'there is'}: {words}"
    else:
        words = f"each proven the best under the next: {words}"
    raised = sorted({bar for one in found.met for bar in one.raised})
    if raised:
        words += f", {bars_named(raised)} made harder for the sake of an easier level"
    least = f"; no nested set can cost less than {found.bound} ms" if many > 1 else ""
    return f"{words}{least}; searched for {found.seconds:.2f} s"
