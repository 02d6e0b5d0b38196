"""``undersong keys``: a tune, a voice or a key → in which tuning, capo and key it is easiest."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.asked import (
    Asked,
    hand_of,
    instrument_of,
    option_named,
    refuse_lacking_all,
    style_of,
    tune_of,
    weights_of,
)
from undersong.cli.endings import ANSWER, Refused, naming, not_proven, say
from undersong.cli.kinds import whole
from undersong.cli.options import TUNE_IS, page_width, time_limit, tune_options
from undersong.cli.report_files import check_targets, put_report, report_files
from undersong.cli.searching import watched
from undersong.cli.strung_ways import capos_of, strung_options, tunings_of
from undersong.cli.unheard import refuse_unheard

if TYPE_CHECKING:
    from fretboard.instrument import Instrument
    from solver.style import Style
    from tune.tune import Tune
    from undersong.advice.keys import KeysAsked
    from undersong.advice.voices import Voice


@click.command(
    "keys",
    epilog="Ranked by ms of hand work, in which a chord without its third counts too. Each row is "
    "solved and proven, or says its gap; all others are counted: those that cannot be played, and "
    "those that are proven to win no place. --tuning and --capo say how the instrument is tuned "
    "now, from where it is retuned; limits such as --highest are counted from each capo. Voices "
    "(usual in choirs, from memory of choral handbooks): soprano C4-A5, mezzo A3-F5, alto F3-D5, "
    "tenor C3-A4, baritone A2-F4, bass E2-D4, child B3-D5; your own lowest and highest note are "
    f"better. {TUNE_IS} {CAUTION}",
)
@click.option(
    "--voice",
    metavar="NAME",
    help="Who sings it: soprano, mezzo, alto, tenor, baritone, bass or child.",
)
@click.option("--lowest-note", metavar="NOTE", help="Her lowest comfortable note, such as A3.")
@click.option("--highest-note", metavar="NOTE", help="Her highest comfortable note, such as D5.")
@click.option(
    "--key",
    metavar="KEY",
    help="The one key in which it must be, such as G or Em.  [default: every key]",
)
@strung_options
@click.option(
    "--extra",
    metavar="FRETS",
    multiple=True,
    help="Extra frets that might be had besides, such as 1+,8+: looked at with them and without; "
    "again for another choice.",
)
@click.option(
    "--rows",
    metavar="N",
    default="5",
    show_default=True,
    callback=whole(1, 50, "rows"),
    help="Places in the table.",
)
@report_files
@tune_options
@page_width("Text: how wide the page is.")
@time_limit("Seconds that everything may take; then what is known by then comes out.")
def command(
    voice: str | None,
    lowest_note: str | None,
    highest_note: str | None,
    key: str | None,
    tunings: tuple[str, ...],
    capos: str,
    extra: tuple[str, ...],
    rows: int,
    **options: Any,
) -> None:
    """Say in which key and tuning a tune is easiest, with the fullest chords."""
    to = options.pop("to")
    asked = Asked(**options, to=(), melody_on_top=False, from_capo=True, unicode=False)
    check_targets(to, (asked.tune,), "the tune")
    refuse_unheard(asked, (asked.texture,))
    from undersong.advice.crew import spare
    from undersong.advice.keys import keys
    from undersong.advice.keys_document import keys_json
    from undersong.advice.keys_text import keys_text

    wanted = _wanted(
        asked, _voice(voice, lowest_note, highest_note), key, tunings, capos, extra, rows
    )
    for notice in dict.fromkeys(wanted.tune.notices):
        say(f"note: {asked.tune}: {notice}")
    advice = watched(lambda watch: keys(wanted, watch, spare()), asked.time_limit)
    put_report(
        to,
        lambda: keys_text(advice, asked.texture, asked.width),
        lambda: keys_json(advice, asked.texture),
    )
    if not advice.proven:
        not_proven()
    if not advice.rows:
        raise click.exceptions.Exit(ANSWER)


def _wanted(
    asked: Asked,
    voice: Voice | None,
    key: str | None,
    tunings: tuple[str, ...],
    capos: str,
    extra: tuple[str, ...],
    rows: int,
) -> KeysAsked:
    from tune.melody import sung
    from undersong.advice.combinations import Choices
    from undersong.advice.keys import KeysAsked

    own = instrument_of(asked)
    made_for = instrument_of(replace(asked, tuning=None, capo="0"))
    hand, weights = hand_of(asked), weights_of(asked)
    tune = tune_of(asked)
    texture = style_of(_there(asked, own), tune, own).texture
    if voice is not None and not sung(tune):
        raise Refused(
            f"--voice: {asked.tune}: {tune.title} has no melody, and a voice sings one: write its "
            "notes, or name the --key instead"
        )

    refuse_lacking_all(tune, asked.tune, texture)

    def style(music: Tune, instrument: Instrument) -> Style:
        return style_of(_there(asked, instrument), music, instrument)

    open_own = own.with_capo(0)
    choices = Choices(
        own,
        made_for,
        tunings_of(tunings, own, asked.instrument),
        capos_of(capos, open_own),
        _semitones(key, tune, texture),
        _extras(extra, open_own),
        voice,
    )
    return KeysAsked(tune, choices, rows, hand, weights, style)


def _there(asked: Asked, instrument: Instrument) -> Asked:
    """What is asked, its highest frets as the instrument's capo leaves them: some capos have no
    half fret of that number."""

    def there(name: str, label: str | None) -> str | None:
        with option_named(name):
            return label and instrument.label(instrument.up_to(label), from_capo=True)

    return replace(
        asked,
        bass_ceiling=there("bass_ceiling", asked.bass_ceiling),
        highest=there("highest", asked.highest),
        melody_highest=there("melody_highest", asked.melody_highest),
    )


def _voice(name: str | None, lowest: str | None, highest: str | None) -> Voice | None:
    from fretboard.tuning import parse_pitch
    from undersong.advice import voices

    if name is not None and (lowest is not None or highest is not None):
        raise Refused(
            "--voice: name a voice or type its notes with --lowest-note and --highest-note"
        )
    if name is not None:
        with naming("--voice"):
            return voices.voice(name)
    if lowest is None and highest is None:
        return None
    if lowest is None or highest is None:
        lacks = "--lowest-note" if lowest is None else "--highest-note"
        raise Refused(f"{lacks}: a range has two ends; type the other one too, such as A3 and D5")
    with naming("--lowest-note"):
        low = parse_pitch(lowest)
    with naming("--highest-note"):
        return voices.Voice("typed", low, parse_pitch(highest))


def _semitones(key: str | None, tune: Tune, texture: str) -> tuple[int, ...]:
    """How far the tune may be moved: within an octave either way where the instrument plays the
    melody, else each key once, by the nearer way."""
    from solver.singing import TUNEFUL
    from tune.chord import pitch_class
    from tune.readers.chart.fields import read_key

    every = range(-12, 13) if texture in TUNEFUL else range(-5, 7)
    if key is not None:
        with naming("--key"):
            wanted = read_key(key)
            if wanted.mode != tune.key.mode and not re.fullmatch(r"\s*[A-Ga-g][#b♯♭]?\s*", key):
                modes = {"major": "", "minor": "m"}
                named = modes.get(tune.key.mode, f" {tune.key.mode}")
                raise ValueError(
                    f"the tune is {tune.key.mode} and stays so, so it cannot be in {wanted}; write "
                    f"{wanted.tonic}{named} or another tonic"
                )
        up = (pitch_class(wanted.tonic) - pitch_class(tune.key.tonic)) % 12
        ups = [by for by in every if by % 12 == up]
    else:
        ups = list(every)
    return tuple(sorted(ups, key=lambda by: (abs(by), -by)))


def _extras(texts: tuple[str, ...], own: Instrument) -> tuple[tuple[int, ...], ...]:
    """Groups of extra frets, none first."""
    from fretboard.frets import fret_semitones

    groups: dict[tuple[int, ...], None] = {(): None}
    for text in texts:
        with naming("--extra"):
            group = tuple(sorted({fret_semitones(word) for word in text.split(",")}))
            fretted = own
            for fret in group:
                fretted = fretted.with_fret(fret)
        if fretted != own:
            groups[group] = None
    return tuple(groups)
