"""``undersong jam``: the keys of an evening → a tuning to sit down in, a capo for each key."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import click

from fretboard.hand import CAUTION
from undersong.cli.asked import hand_of, option_named, weights_of
from undersong.cli.endings import ANSWER, Refused, not_proven
from undersong.cli.kinds import weights, whole
from undersong.cli.options import page_width, time_limit
from undersong.cli.report_files import check_targets, put_report, report_files
from undersong.cli.searching import watched
from undersong.cli.strung_ways import capos_of, strung_options, tunings_of

if TYPE_CHECKING:
    from fretboard.instrument import Instrument
    from tune.key import Key
    from tune.tune import Tune


@click.command(
    "jam",
    epilog="KEY is such as D, Em, 'A mixolydian' or E dorian, in the evening's order; one that "
    "comes twice counts twice. In every tuning and under every capo a cadence of the key's own "
    "primary chords is solved, as a song. Best is the tuning with most keys (one counts "
    "though its chords lack their thirds, and the page says so), then with least in "
    "all: hand work, open strings that are neither root nor fifth of the key, strings tuned anew, "
    "and the capo moved between keys. Prices are ms of hand work that you would take instead "
    f"(common practice, no source). {CAUTION}",
)
@click.argument("keys", metavar="KEY...", nargs=-1)
@strung_options
@click.option(
    "--capo-move",
    metavar="MS",
    default="1000",
    show_default=True,
    callback=whole(0, 1_000_000, "ms"),
    help="What moving the capo counts.",
)
@click.option(
    "--retune",
    metavar="MS",
    default="500",
    show_default=True,
    callback=whole(0, 1_000_000, "ms"),
    help="What tuning a string anew counts, for each semitone.",
)
@click.option(
    "--no-drone",
    metavar="MS",
    default="750",
    show_default=True,
    callback=whole(0, 1_000_000, "ms"),
    help="What an open string counts that is neither root nor fifth, in each key.",
)
@click.option("--all", "each", is_flag=True, help="Text: show every tuning key by key.")
@report_files
@click.option(
    "--instrument",
    metavar="NAME|FILE",
    default="standard",
    help="'undersong instruments' lists them.",
    show_default=True,
)
@click.option("--tuning", metavar="TEXT", help="How it is strung now, if not as it is made for.")
@click.option("--scale", metavar="LENGTH", help="Nut to bridge: 686, 686mm or 27in.")
@click.option(
    "--hand",
    metavar="NAME|SPAN|FILE",
    default="medium",
    show_default=True,
    help="'undersong hands' lists them; or your span such as 190mm. A preference, not medical "
    "advice; stop if anything hurts.",
)
@click.option(
    "--without-finger",
    metavar="T|I|M|R|P",
    multiple=True,
    help="A finger that stops no string, such as P for the little finger; again for more.",
)
@click.option(
    "--bass",
    metavar="MANNER",
    help="'undersong manners' lists them.  [default: alternating]",
)
@click.option(
    "--right-hand",
    metavar="NAME|FILE",
    default="bass-then-strum",
    show_default=True,
    help="'undersong right-hands' lists them.",
)
@click.option(
    "--tempo",
    metavar="N",
    default="100",
    show_default=True,
    callback=whole(10, 400, "beats a minute"),
    help="Beats a minute of the cadences.",
)
@click.option("--weights", metavar="FILE", help="A TOML file of weights, such as high-bass = 20.")
@click.option(
    "--weight",
    metavar="NAME=MS",
    multiple=True,
    callback=weights,
    help="One weight; may be given again. 'undersong weights' lists them.",
)
@page_width("Text: how wide the page is.")
@time_limit("Seconds that the search may take in all.")
def command(
    keys: tuple[str, ...],
    tunings: tuple[str, ...],
    capos: str,
    capo_move: int,
    retune: int,
    no_drone: int,
    each: bool,
    to: tuple[str, ...],
    instrument: str,
    tuning: str | None,
    scale: str | None,
    hand: str,
    without_finger: tuple[str, ...],
    bass: str | None,
    right_hand: str,
    tempo: int,
    weights: str | None,
    weight: tuple[tuple[str, int], ...],
    width: int,
    time_limit: float,
) -> None:
    """Say which tuning to sit down in for the evening's keys, and which capo for which key."""
    from undersong.advice.jam import Evening, Prices, sit_down
    from undersong.advice.jam_document import jam_json
    from undersong.advice.jam_text import jam_text
    from undersong.settings import strung_as, style_from

    wanted = _keys(keys)
    check_targets(to, (), "")
    player = _Player(hand, without_finger, weights, weight)

    def strung(tuned: str | None) -> Instrument:
        return strung_as(option_named, instrument=instrument, scale=scale, tuning=tuned, capo="0")

    own = strung(tuning)
    style = style_from(
        option_named, _first(wanted, tempo), own, texture="song", manner=bass,
        right_hand=right_hand, no_chord="rest", bass_above=False, graces=False, limits={},
    )  # fmt: skip
    evening = Evening(
        wanted,
        own,
        strung(None),
        tunings_of(tunings, own, instrument),
        capos_of(capos, own),
        hand_of(player),
        style,
        weights_of(player),
        tempo,
        Prices(capo_move, retune, no_drone),
    )
    jam = watched(lambda watch: sit_down(evening, watch), time_limit)
    put_report(to, lambda: jam_text(jam, width, each), lambda: jam_json(jam))
    if jam.sittings[0].not_played:
        raise click.exceptions.Exit(ANSWER)
    if not jam.proven:
        not_proven()


@dataclass(frozen=True)
class _Player:
    """The options by their names that say whose hand it is, and what it minds."""

    hand: str
    without_finger: tuple[str, ...]
    weights: str | None
    weight: tuple[tuple[str, int], ...]


def _keys(words: tuple[str, ...]) -> tuple[Key, ...]:
    """The keys; a mode's name belongs to the tonic before it."""
    from tune.errors import TuneError
    from tune.key import MODES
    from tune.readers.chart.fields import read_key

    if not words:
        raise Refused("name the keys of the evening, such as D G Em; see undersong jam --help")
    modes = (*MODES, "ionian", "aeolian")
    typed: list[str] = []
    for word in (part for text in words for part in text.split(",")):
        is_mode = len(word) >= 3 and any(mode.startswith(word.lower()) for mode in modes)
        if is_mode and typed:
            typed[-1] = f"{typed[-1]} {word}"
        elif word.strip():
            typed.append(word.strip())
    try:
        return tuple(map(read_key, typed))
    except TuneError as error:
        raise Refused(str(error)) from None


def _first(keys: tuple[Key, ...], tempo: int) -> Tune:
    from undersong.advice.cadence import cadence

    return cadence(keys[0], tempo)
