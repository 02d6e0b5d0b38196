"""``undersong frets``: tunes without extra frets that are there, and with those that are not."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any, NoReturn

import click

from fretboard.hand import CAUTION
from undersong.cli.asked import (
    Asked,
    changed,
    hand_of,
    instrument_of,
    refuse_lacking_all,
    style_of,
    weights_of,
)
from undersong.cli.conditions import ConditionsAsked, condition_options, conditions_of
from undersong.cli.endings import ANSWER, Refused, naming, not_proven, say
from undersong.cli.options import page_width, solving_options, time_limit
from undersong.cli.report_files import check_targets, put_report, report_files
from undersong.cli.searching import watched
from undersong.cli.unheard import refuse_unheard

if TYPE_CHECKING:
    from fretboard.instrument import Instrument
    from solver.style import Style
    from solver.watch import Watch
    from undersong.advice.all_frets import FretsAdvice
    from undersong.advice.fretboards import Fretboard, FretsAsked
    from undersong.advice.piece import Piece
    from undersong.advice.repertoire import Named

TUNES_ARE = (
    "TUNE is a file (.abc, .musicxml, .xml, .mxl, .chart, .txt), a folder of such files, an ABC "
    "file with many tunes, or a bundled tune's name."
)


def _frets(_: click.Context, param: click.Parameter, texts: tuple[str, ...]) -> FretsAsked | None:
    """``6+`` or ``1+,6+`` each: frets that are changed together; None where nothing was said."""
    from fretboard.errors import FretboardError
    from fretboard.frets import fret_semitones, is_extra

    asked = []
    for text in texts:
        try:
            frets = tuple(sorted({fret_semitones(part) for part in text.split(",")}))
        except FretboardError as error:
            raise Refused(f"{param.opts[-1]}: {error}") from None
        if not all(map(is_extra, frets)):
            raise Refused(f"{param.opts[-1]}: write extra frets such as 6+ or 1+,6+, not {text!r}")
        asked.append(frets)
    return tuple(dict.fromkeys(asked)) or None


@click.command(
    "frets",
    epilog="For each fret that the instrument has: what a tune costs without it, in which bars it "
    "goes otherwise, what is lost, and where it cannot be played, why. For each of 1+, 6+, 8+ and "
    "13+ that it lacks: how many tunes more can be played with it, and how much work it saves. "
    "Frets are put in and left out under every string. With many tunes, one that a fret more is "
    "proven of no use to is not solved anew: its row says between what and what it would cost. "
    f"{TUNES_ARE} {CAUTION}",
)
@click.argument("tunes", metavar="TUNE...", nargs=-1)
@click.option(
    "--without",
    metavar="FRET",
    multiple=True,
    callback=_frets,
    help="Without that extra fret, such as 6+, or without several at once, such as 1+,6+; again "
    "for more.  [default: each that the instrument has, and all]",
)
@click.option(
    "--with",
    "added",
    metavar="FRET",
    multiple=True,
    callback=_frets,
    help="With that extra fret more; likewise.  [default: each of 1+, 6+, 8+, 13+ that it lacks, "
    "and all]",
)
@click.option(
    "--every",
    is_flag=True,
    help="Solve every row, though a bound proves that a fret saves nothing.",
)
@report_files
@solving_options
@page_width("Text: how wide the page is.")
@time_limit("Seconds that each tune may take, all its rows together.")
@condition_options
def command(
    tunes: tuple[str, ...],
    without: FretsAsked | None,
    added: FretsAsked | None,
    every: bool,
    **options: Any,
) -> None:
    """Say what a tune loses without an extra fret, and which one more would help most."""
    wanted = ConditionsAsked.taken_from(options)
    to = options.pop("to")
    if not tunes:
        raise Refused("name a tune, several, a folder or an ABC file; see undersong frets --help")
    asked = Asked(
        **options, tune=tunes[0], to=(), melody_on_top=False, from_capo=False, unicode=False
    )
    if asked.form is not None:
        _check_form(asked.form)
    check_targets(to, tunes, "one of the tunes")
    refuse_unheard(asked, (asked.texture,))
    from undersong.advice.frets_document import frets_json
    from undersong.advice.frets_text import frets_text
    from undersong.advice.repertoire import named_tunes

    own = instrument_of(asked)
    hand_of(asked)  # refused before anything is read
    weights_of(asked)
    fretboards = _fretboards(own, without, added)
    named = named_tunes(tunes, asked.choose, asked.form, own, wanted.conditions is None)
    advice = _advice(asked, wanted, named, own, fretboards, every)
    put_report(
        to,
        lambda: frets_text(advice, asked.texture, asked.width),
        lambda: frets_json(advice, asked.texture),
    )
    if not advice.rows:
        raise click.exceptions.Exit(ANSWER)
    if not advice.proven:
        not_proven()


def _check_form(form: str) -> None:
    from tune.readers import FORMS

    if form not in FORMS:
        raise Refused(f"--form: there is no form {form!r}; choose one of {', '.join(FORMS)}")


def _fretboards(
    own: Instrument, without: FretsAsked | None, added: FretsAsked | None
) -> tuple[Fretboard, ...]:
    """What her own is held against: what was asked for, else all there is."""
    from undersong.advice.fretboards import with_frets, without_frets

    asked = without is not None or added is not None
    with naming("--without"):
        fewer = without_frets(own, () if asked and without is None else without)
    with naming("--with"):
        more = with_frets(own, () if asked and added is None else added)
    if not fewer and not more:
        raise Refused(f"--instrument: {own.name} has no extra fret to leave out and lacks none")
    return fewer + more


def _advice(
    asked: Asked,
    wanted: ConditionsAsked,
    named: tuple[Named, ...],
    own: Instrument,
    fretboards: tuple[Fretboard, ...],
    every: bool,
) -> FretsAdvice:
    from undersong.advice.all_frets import FretsAdvice, on_all
    from undersong.advice.frets import one_tune

    if len(named) == 1:
        piece = _piece(asked, wanted, named[0], own)
        refuse_lacking_all(piece.tune, named[0].shown, piece.style(own).texture)
        for notice in dict.fromkeys(piece.tune.notices):
            say(f"note: {named[0].shown}: {notice}")
        row = watched(
            lambda watch: one_tune(piece, own, fretboards, watch, mends=True), asked.time_limit
        )
        return FretsAdvice(own, fretboards, (row,))

    pieces = [(one.shown, _read(asked, wanted, one, own)) for one in named]

    def work(watch: Watch) -> FretsAdvice:
        return on_all(pieces, own, fretboards, watch, asked.time_limit, every=every)

    return watched(work, asked.time_limit * len(named))


def _read(
    asked: Asked, wanted: ConditionsAsked, named: Named, own: Instrument
) -> Callable[[], Piece]:
    """One of many tunes, read now, so that what is refused is said before anything is searched;
    what gives it, or complains of what is wrong with the tune alone when its turn comes."""
    from solver.errors import ArrangeError
    from tune.errors import TuneError

    try:
        piece = _piece(asked, wanted, named, own)
    except Refused as error:
        raise Refused(f"{named.shown}: {error.message}") from None
    except (TuneError, ArrangeError) as error:
        return partial(_complain, error)
    return lambda: piece


def _complain(error: Exception) -> NoReturn:
    raise error


def _piece(asked: Asked, wanted: ConditionsAsked, named: Named, own: Instrument) -> Piece:
    from undersong.advice.piece import Piece

    tune = changed(named.read(), asked)

    def style(instrument: Instrument) -> Style:
        return style_of(asked, tune, instrument)

    return Piece(
        named.shown,
        tune,
        hand_of(asked),
        weights_of(asked),
        conditions_of(wanted, named.source, own, music=tune, beside=named.wishes),
        style,
    )
