"""The options that every command which arranges a tune shares: what is played, on what and how,
and how pages are printed.

Public: tune_options, solving_options, sheet_options, shape_options, time_limit, from_capo,
page_width, TUNE_IS.
"""

from collections.abc import Callable
from typing import Any, TypeVar

import click

from undersong.cli.kinds import fret, octaves, seconds, weights, whole

TUNE_IS = (
    "TUNE is a file (.abc, .musicxml, .xml, .mxl, .chart, .txt), - for standard input, or a "
    "bundled tune's name."
)

Function = TypeVar("Function", bound=Callable[..., Any])


def time_limit(text: str) -> Callable[[Function], Function]:
    """``--time-limit``; text: what it limits, and what comes then."""
    return click.option(
        "--time-limit", metavar="N", default="60", callback=seconds, show_default=True, help=text
    )


def from_capo(where: str) -> Callable[[Function], Function]:
    """``--from-capo``; where: which frets are counted so, in words."""
    return click.option(
        "--from-capo",
        is_flag=True,
        help=f"Count frets from the capo, {where}: fret 7 with a capo at 3 is then called 4, and "
        "6+ is 3+ (where every semitone has a fret, semitones are counted).",
    )


def page_width(text: str) -> Callable[[Function], Function]:
    """``--width``; text: of what."""
    return click.option(
        "--width", metavar="N", default="80", callback=whole(40, 400, "columns"), help=text
    )


_TUNE = (
    click.argument("tune"),
    click.option(
        "--choose",
        metavar="TEXT",
        help="Which tune of a file with several: its number (after X: in ABC) or its title.",
    ),
    click.option(
        "--form", metavar="NAME", help="abc, musicxml, mxl or chart, if no suffix says it."
    ),
    click.option(
        "--tempo",
        metavar="N",
        callback=whole(10, 400, "beats a minute"),
        help="Beats a minute, instead of the tune's own tempo.",
    ),
    click.option(
        "--transpose",
        metavar="N",
        default="0",
        callback=whole(-24, 24, "semitones"),
        help="Semitones up, or down if negative.",
    ),
    click.option(
        "--instrument",
        metavar="NAME|FILE",
        default="standard",
        help="'undersong instruments' lists them.",
        show_default=True,
    ),
    click.option(
        "--tuning",
        metavar="TEXT",
        help="From the bass string to the melody string, such as 'D3 A3 D4', D-A-A or ionian.",
    ),
    click.option(
        "--capo",
        metavar="FRET",
        default="0",
        help="The fret that the capo sits at, counted from the nut; 0 is none.",
    ),
    click.option("--scale", metavar="LENGTH", help="Nut to bridge: 686, 686mm or 27in."),
    click.option(
        "--hand",
        metavar="NAME|SPAN|FILE",
        default="medium",
        show_default=True,
        help="'undersong hands' lists them; or your span such as 190mm, from the tip of the thumb "
        "to that of the little finger, spread without strain. A preference, not medical advice; "
        "stop if anything hurts.",
    ),
    click.option(
        "--without-finger",
        metavar="T|I|M|R|P",
        multiple=True,
        help="A finger that stops no string, such as P for the little finger; again for more.",
    ),
    click.option(
        "--texture",
        metavar="NAME",
        default="song",
        show_default=True,
        help="song: chords and a moving bass under a voice; solo: the melody on top of them; bass: "
        "one bass note at a time; drone: the melody on one string, the others open.",
    ),
    click.option(
        "--chords",
        metavar="given|proposed|drone|FILE",
        default="given",
        show_default=True,
        help="The tune's own chords, chords that Undersong proposes for the melody, the key's open "
        "fifth throughout, or those of a chart for the same bars ('undersong chords' writes one).",
    ),
    click.option(
        "--octave",
        metavar="BARS=N",
        multiple=True,
        callback=octaves,
        help="Play the melody of some bars octaves higher, or lower, such as 5-8=-1 or all=1; may "
        "be given again.",
    ),
    click.option("--graces", is_flag=True, help="Solo, drone: play the grace notes too."),
    click.option(
        "--bass",
        metavar="MANNER",
        help="'undersong manners' lists them.  [default: alternating, with a drone held]",
    ),
    click.option(
        "--right-hand",
        metavar="NAME|FILE",
        default="bass-then-strum",
        show_default=True,
        help="'undersong right-hands' lists them.",
    ),
    click.option(
        "--no-chord",
        metavar="rest|carry",
        default="rest",
        show_default=True,
        help="Where no chord sounds: rest, or carry the chord before on.",
    ),
    click.option(
        "--bass-ceiling",
        metavar="FRET",
        callback=fret,
        help="Highest fret of the bass string, usually 7; in a bass part as high as root, fifth "
        "and octave of the key's chords need.",
    ),
    click.option(
        "--highest", metavar="FRET", callback=fret, help="Highest fret of the other strings."
    ),
    click.option(
        "--melody-highest",
        metavar="FRET",
        callback=fret,
        help="Solo, drone: highest fret of the string that has the melody.",
    ),
    click.option(
        "--bass-above",
        is_flag=True,
        help="Let other strings sound below the bass note, at a price.",
    ),
    click.option(
        "--weights", metavar="FILE", help="A TOML file of weights, such as high-bass = 20."
    ),
    click.option(
        "--weight",
        metavar="NAME=MS",
        multiple=True,
        callback=weights,
        help="One weight; may be given again. 'undersong weights' lists them.",
    ),
)

_SHEET = (
    click.option("--melody-on-top", is_flag=True, help="Text: print the melody string on top."),
    from_capo("on the page and in what you ask"),
    page_width("Text: how wide the page is."),
    click.option("--unicode", is_flag=True, help="Text: drawn lines, real sharp and flat signs."),
    time_limit("Seconds that the search may take; then the best so far comes out."),
)

_SHAPES = (
    click.option(
        "--shapes-used",
        is_flag=True,
        help="Text: show each shape in a box, in the order of first use, and how often it comes.",
    ),
    click.option(
        "--left-handed", is_flag=True, help="Text: with --shapes-used, the nut at the right."
    ),
)


def tune_options(function: Function) -> Function:
    """Gives a click command the tune, the instrument, the hand, the style and the weights."""
    for option in reversed(_TUNE):
        function = option(function)
    return function


def solving_options(function: Function) -> Function:
    """The same without the tune, for a command that names it in another way."""
    for option in reversed(_TUNE[1:]):
        function = option(function)
    return function


def sheet_options(function: Function) -> Function:
    """Gives a click command the way that pages are printed, and the time limit."""
    for option in reversed(_SHEET):
        function = option(function)
    return function


def shape_options(function: Function) -> Function:
    """Gives a click command that prints pages the boxes of shapes on them."""
    for option in reversed(_SHAPES):
        function = option(function)
    return function
