"""``undersong handout``: all levels of a tune in one PDF."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.asked import Asked
from undersong.cli.conditions import ConditionsAsked, condition_options
from undersong.cli.endings import Refused, naming, say
from undersong.cli.levels import end, levels_in, refuse_right_hand, verdict, which_levels
from undersong.cli.loops import loop_options
from undersong.cli.opening import opened
from undersong.cli.options import TUNE_IS, from_capo, time_limit, tune_options
from undersong.cli.output import check_target
from undersong.cli.page_options import PAPER_NAMES, check_drawing, paper_of, paper_options
from undersong.cli.searching import watched

if TYPE_CHECKING:
    from solver.watch import Watch
    from undersong.levels import LevelSet
    from undersong.sheet.handout import HandoutOptions


@click.command(
    "handout",
    epilog="First what each level teaches, what is new in it and how hard it is; then for each "
    "level its music, the shapes that no easier level has, and a practice plan. Levels that cannot "
    "be met are told on the first page. 'undersong levels' makes the same versions, for files of "
    f"their own. A PDF needs the system's library cairo and the fonts called Liberation. {TUNE_IS} "
    f"{CAUTION}",
)
@tune_options
@click.option("--to", metavar="FILE", default="", help="Where to: a file that ends in .pdf.")
@which_levels
@loop_options("2", "How many places to practise in each level.")
@paper_options
@click.option("--left-handed", is_flag=True, help="The nut of the diagrams at the right.")
@click.option("--melody-on-top", is_flag=True, help="Print the melody string's line on top.")
@from_capo("on the page and in what you ask")
@time_limit("Seconds that the search may take; then the best so far is printed.")
@condition_options
def command(to: str, **options: Any) -> None:
    """Print all levels of a tune in one PDF."""
    if not to:
        raise Refused("--to: name the file to write, such as --to tune.pdf")
    check_target(to, options["tune"], (".pdf",))
    if options["tune"].lower().endswith(".json"):
        raise Refused(
            f"{options['tune']}: this is one finished answer, and levels are made of a tune; name "
            "the tune instead"
        )
    look = _look(options)
    for name in (*PAPER_NAMES, "left_handed", "spots", "rounds"):
        del options[name]
    file, only, close = (options.pop(name) for name in ("file", "only", "close"))
    wanted = ConditionsAsked.taken_from(options)
    asked = Asked(**options, to=(), width=80, unicode=False)
    if asked.bass is not None:
        raise Refused("--bass: each level has a bass manner of its own; write it in a levels file")
    check_drawing((to,))
    levels = levels_in(file, only, asked.texture)
    begun = opened(asked, wanted, {level.texture or asked.texture for level in levels})
    refuse_right_hand(asked, levels)

    def work(watch: Watch) -> LevelSet:
        return begun.session.levels(
            levels, begun.weights, begun.conditions, close=close, watch=watch
        )

    _put(watched(work, asked.time_limit), to, look, begun.conditions.alike is None)


def _look(options: dict[str, Any]) -> HandoutOptions:
    from undersong.practice import Wishes
    from undersong.sheet.handout import HandoutOptions

    return HandoutOptions(
        paper=paper_of(options["paper"], options["landscape"]),
        left_handed=options["left_handed"],
        bass_on_top=not options["melody_on_top"],
        from_capo=options["from_capo"],
        large=options["large"],
        contrast=options["contrast"],
        wishes=Wishes(options["spots"], options["rounds"]),
    )


def _put(found: LevelSet, to: str, look: HandoutOptions, free: bool) -> None:
    """The file where any level came out, and on stderr what did not; free: the hands may differ
    from time to time."""
    from undersong.levels import reasons
    from undersong.sheet.handout import handout_pdf, written_out
    from undersong.sheet.write import put_file

    if found.met:
        with naming("--to"):
            put_file(Path(to), handout_pdf(found, look))
        if free and (numbers := written_out(found)):
            say(
                f"note: repeats are written out in level{'s' * (len(numbers) > 1)} "
                f"{', '.join(map(str, numbers))}, since the hands differ from time to time; "
                "--alike repeats asks for the same hands, and makes fewer pages"
            )
    for reason in reasons(found):
        say(reason)
    say(verdict(found))
    end(found)
