"""The options of every command that plans practice: how many places, and how often each is played.

Public: loop_options.
"""

from collections.abc import Callable
from typing import Any, TypeVar

import click

from undersong.cli.kinds import whole

Function = TypeVar("Function", bound=Callable[..., Any])


def loop_options(spots: str, which: str) -> Callable[[Function], Function]:
    """``--spots`` and ``--rounds``; spots: how many where nothing is said; which: the help on
    them."""

    def give(function: Function) -> Function:
        rounds = click.option(
            "--rounds",
            metavar="N",
            default="3",
            show_default=True,
            callback=whole(1, 20, "rounds"),
            help="How often each loop is played at each tempo.",
        )
        places = click.option(
            "--spots",
            metavar="N",
            default=spots,
            show_default=True,
            callback=whole(1, 12, "places"),
            help=which,
        )
        return places(rounds(function))

    return give
