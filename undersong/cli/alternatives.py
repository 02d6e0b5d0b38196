"""``undersong alternatives``: the best and others near it, for a teacher to choose from."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.asked import Asked
from undersong.cli.conditions import ConditionsAsked, condition_options
from undersong.cli.endings import UNPROVEN, Refused, say
from undersong.cli.kinds import whole
from undersong.cli.opening import opened
from undersong.cli.options import TUNE_IS, shape_options, sheet_options, tune_options
from undersong.cli.pages import Pages
from undersong.cli.searching import watched
from undersong.cli.table import show
from undersong.cli.unheard import tell_unprinted

if TYPE_CHECKING:
    from collections.abc import Sequence

    from solver.result import Arrangement
    from solver.watch import Watch
    from undersong.alternatives import Alternatives
    from undersong.ideas import Idea, Ideas

COUNT, WITHIN, DIFFER = 5, 10, 4


def _percent(context: click.Context, param: click.Parameter, text: str | None) -> int | None:
    """Whole percents, with or without their sign."""
    bare = text if text is None else text.strip().removesuffix("%").rstrip()
    return whole(0, 1000, "percent")(context, param, bare)


@click.command(
    "alternatives",
    epilog="Bars differ as heard or fretted: another fret, string or stroke; other fingers alone "
    "are no difference. A bar that is repeated counts each time through; --alike repeats keeps "
    "its times the same. In the list stand the lowest and highest fret that a finger stops, how "
    "many shapes there are to learn, how often the hand shifts or a finger is laid across strings, "
    "the bar that costs most, and what falls and rises most against the best, in ms of hand work. "
    f"{TUNE_IS} {CAUTION}",
)
@tune_options
@click.option(
    "--count",
    metavar="N",
    callback=whole(1, 50, "alternatives"),
    help=f"How many, the best among them.  [default: {COUNT}]",
)
@click.option(
    "--within",
    metavar="PERCENT",
    callback=_percent,
    help=f"What they may cost more than the best.  [default: {WITHIN}%]",
)
@click.option(
    "--differ",
    metavar="N",
    callback=whole(1, 100_000, "bars"),
    help="In how many played bars each differs from every other.  "
    f"[default: {DIFFER}, or all of a shorter tune]",
)
@click.option(
    "--by-idea",
    is_flag=True,
    help="Instead: the best with another bass manner, lower, higher, without bars, without the "
    "little finger.",
)
@click.option(
    "--to", "folder", metavar="FOLDER", help="Where to write a page of each; made if need be."
)
@click.option(
    "--as",
    "kinds",
    metavar="SUFFIX",
    multiple=True,
    help="With --to: what pages are, such as .txt or .json; again for more.  [default: .txt]",
)
@sheet_options
@shape_options
@condition_options
def command(**options: Any) -> None:
    """Find more ways to play a tune, each the best that is different enough."""
    wanted = ConditionsAsked.taken_from(options)
    count, within, differ = (options.pop(name) for name in ("count", "within", "differ"))
    ideas, folder, kinds = (options.pop(name) for name in ("by_idea", "folder", "kinds"))
    asked = Asked(**options, to=())
    if ideas:
        _refuse_beside_ideas(count, within, differ)
    pages = Pages(asked, folder, kinds, (".txt",))
    begun = opened(asked, wanted)
    tell_unprinted(asked, pages.suffixes if folder is not None else ())
    session, wishes, conditions = begun.session, begun.weights, begun.conditions
    tune = session.tune
    if conditions.alike is None and len(tune.played) > len(tune.bars):
        say("note: a repeat may differ one time only; with --alike repeats whole bars differ")
    if ideas:
        answer = watched(
            lambda watch: session.by_idea(wishes, conditions, watch=watch), asked.time_limit
        )
        _tell_ideas(answer, pages, asked.from_capo)
        proven = answer.proven
    else:
        from undersong.alternatives import bars_to_differ_in

        bars = bars_to_differ_in(session, conditions)
        if differ is not None and differ > bars:
            raise Refused(
                f"--differ: the tune has {bars} played bars to differ in; ask for 1 to {bars}"
            )
        numbers = (
            COUNT if count is None else count,
            WITHIN if within is None else within,
            min(DIFFER, bars) if differ is None else differ,
        )

        def work(watch: Watch) -> Alternatives:
            return session.alternatives(*numbers, wishes, conditions, watch=watch)

        found = watched(work, asked.time_limit)
        _tell(found, pages, asked.from_capo)
        proven = found.proven
    if not proven:
        raise click.exceptions.Exit(UNPROVEN)


def _refuse_beside_ideas(*numbers: int | None) -> None:
    for option, number in zip(("--count", "--within", "--differ"), numbers, strict=True):
        if number is not None:
            raise Refused(f"{option}: this says nothing beside --by-idea; leave one of them out")


def _tell(found: Alternatives, pages: Pages, from_capo: bool) -> None:
    """The pages, then a line for each alternative, then why there are no more."""
    from undersong.compared import bar_cell, changes

    rows = []
    for number, one in enumerate(found.found, 1):
        pages.put(one.arrangement, pages.after_the_tune(one.arrangement, str(number)))
        here = one.arrangement
        rows.append(
            (
                str(number),
                f"{here.asked_cost} ms",
                "the best" if number == 1 else _more(one.more),
                *_cells(here, from_capo),
                bar_cell(here.tune, one.bars) or "-",
                changes(found.best, here) or "-",
            )
        )
    show(("", "work", "", *_HEADS, "other in bars", "against the best"), rows)
    say(found.why)


def _tell_ideas(found: Ideas, pages: Pages, from_capo: bool) -> None:
    best = found.best
    pages.put(best, pages.after_the_tune(best, "1"))
    rows = [("as asked", f"{best.asked_cost} ms", "the best", *_cells(best, from_capo), "-")]
    known = [("the best", best)]
    for idea in found.ideas:
        rows.append(_idea_row(found.best, idea, known, from_capo))
        if idea.arrangement is not None and not idea.already:
            pages.put(idea.arrangement, pages.after_the_tune(idea.arrangement, idea.name))
            known.append((idea.name, idea.arrangement))
    show(("idea", "work", "", *_HEADS, "what it saves, or why not"), rows)
    if not found.proven:
        say("not everything is proven; allow more time with the time limit")


def _idea_row(
    best: Arrangement, idea: Idea, known: Sequence[tuple[str, Arrangement]], from_capo: bool
) -> tuple[str, ...]:
    from undersong.compared import saves

    here = idea.arrangement
    if here is None or idea.more is None:
        word = "cannot be" if idea.proven else "unknown"
        return (idea.words, "-", word, *["-"] * len(_HEADS), idea.why)
    cells = (idea.words, f"{here.asked_cost} ms", _more(idea.more), *_cells(here, from_capo))
    if idea.already:
        return (*cells, "the best is so already")
    for name, other in known:
        if other.choices == here.choices:
            return (*cells, f"the same hands as {name}")
    words = saves(best, here, from_capo) or "nothing that is counted here"
    if not idea.proven:
        words += f"; not proven, at most {here.proof.gap} ms above the best such"
    return (*cells, words)


_HEADS = ("frets", "shapes", "shifts", "barred", "costliest bar")


def _cells(arrangement: Arrangement, from_capo: bool) -> tuple[str, ...]:
    """What can be counted, one cell for each of ``_HEADS``."""
    from undersong.compared import bar_cell, figures

    counted = figures(arrangement)
    frets = "open"
    if counted.lowest is not None and counted.highest is not None:
        low, high = (
            arrangement.instrument.label(fret, from_capo)
            for fret in (counted.lowest, counted.highest)
        )
        frets = f"{low} to {high}" if low != high else low
    costliest = bar_cell(arrangement.tune, (counted.costliest,))
    return (
        frets,
        str(counted.shapes),
        str(counted.shifts),
        str(counted.barred),
        f"{costliest}: {counted.costliest_ms} ms",
    )


def _more(ms: int) -> str:
    return f"{ms} ms more" if ms >= 0 else f"{-ms} ms less"
