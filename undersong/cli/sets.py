"""``undersong sets``: an evening's tunes in an order with little to do between them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.asked import (
    Asked,
    hand_of,
    instrument_of,
    refuse_lacking_all,
    style_of,
    tune_of,
    weights_of,
)
from undersong.cli.conditions import ConditionsAsked, conditions_of
from undersong.cli.endings import ANSWER, Refused, naming, not_proven, say
from undersong.cli.kinds import whole
from undersong.cli.options import page_width, solving_options, time_limit
from undersong.cli.report_files import check_targets, put_report, report_files
from undersong.cli.searching import watched
from undersong.cli.unheard import refuse_unheard

if TYPE_CHECKING:
    from fretboard.instrument import Instrument
    from scoring.set_order import SetPrices
    from solver.conditions import Conditions
    from tune.tune import Tune
    from undersong.advice.set_asked import SetAsked, SetTune
    from undersong.advice.set_file import SetFile, SetLine

EXAMPLES = """\b
Examples:
  undersong sets harrow-lane lantern-path kettle-on-at-nine
  undersong sets concert.toml --to concert.txt --to concert.json
  undersong sets evening.txt --from-tuning D-A-A --in-a-row 2 --last third-tuesday-blues
  undersong sets harrow-lane kettle-on-at-nine --medley"""


def _prices(
    _: click.Context, param: click.Parameter, texts: tuple[str, ...]
) -> tuple[tuple[str, int], ...]:
    """``NAME=MS`` each, no name twice."""
    found: dict[str, int] = {}
    for text in texts:
        name, equals, price = (part.strip() for part in text.partition("="))
        if not equals or not (price.isascii() and price.isdigit() and len(price) < 9):
            raise Refused(
                f"{param.opts[-1]}: write a name and a whole number of ms, such as string=3000, "
                f"not {text!r}"
            )
        if name in found:
            raise Refused(f"{param.opts[-1]}: {name} is given twice; give it once")
        found[name] = int(price)
    return tuple(found.items())


@click.command(
    "sets",
    epilog=f"{EXAMPLES}\n\nTUNE is a tune's file (an ABC file with all its tunes; jigs.abc:3 "
    "for one), a bundled tune's name, a list that ends in .txt, or a set file that ends in .toml, "
    "in which each tune may have tunings, capo, key and texture of its own: "
    "'undersong set-format' shows how, and what every price means. Each tune is arranged in "
    "each tuning and capo named for it, and gets "
    "the one that comes cheapest in all. What options say holds before what the set file says. "
    f"{CAUTION}",
)
@click.argument("tunes", metavar="TUNE...", nargs=-1)
@click.option("--first", metavar="TUNE", help="The tune that begins the set: its name or title.")
@click.option("--last", metavar="TUNE", help="The tune that ends it.")
@click.option(
    "--in-a-row",
    metavar="N",
    callback=whole(1, 1000, "tunes"),
    help="At most so many tunes of one key in a row.",
)
@click.option(
    "--from-tuning",
    metavar="TEXT",
    help="How the instrument is tuned when you sit down, without a capo.  [default: as the first "
    "tune wants it]",
)
@click.option(
    "--tunings",
    metavar="TEXT",
    multiple=True,
    help="Tunings that each tune may have, such as D-A-d,D-A-A; again for more.",
)
@click.option("--capos", metavar="FRETS", help="Capos that each tune may have, such as 0,1.")
@click.option(
    "--medley",
    is_flag=True,
    help="Play all as one: nothing is changed between tunes, and the joins count.",
)
@click.option(
    "--price",
    metavar="NAME=MS",
    multiple=True,
    callback=_prices,
    help="What one thing counts, such as string=3000; again for more.",
)
@click.option("--prices", metavar="FILE", help="A TOML file of prices.")
@click.option(
    "--without-work",
    is_flag=True,
    help="Arrange nothing: only strings, capos and keys count. Quick, and does not see whether a "
    "tune can be played.",
)
@click.option(
    "--conditions",
    metavar="FILE",
    help="A TOML file of what is asked of every tune, as 'undersong conditions' shows; else "
    "TUNE.conditions.toml beside each tune if it is there; none for nothing.",
)
@report_files
@solving_options
@page_width("Text: how wide the page is.")
@time_limit(
    "Seconds for all tunes to be arranged in, then for the order: the best so far comes out."
)
def command(
    tunes: tuple[str, ...],
    to: tuple[str, ...],
    first: str | None,
    last: str | None,
    in_a_row: int | None,
    from_tuning: str | None,
    tunings: tuple[str, ...],
    capos: str | None,
    medley: bool,
    price: tuple[tuple[str, int], ...],
    prices: str | None,
    without_work: bool,
    conditions: str | None,
    **options: Any,
) -> None:
    """Put a set of tunes in the order with least to do between them, keys that follow well."""
    if not tunes:
        raise Refused("name the tunes, a list or a set file; see undersong sets --help")
    asked = Asked(
        **options, tune=tunes[0], to=(), melody_on_top=False, from_capo=False, unicode=False
    )
    check_targets(to, tunes, "one of the tunes")
    file = _set_file(tunes, asked.choose)
    file = replace(
        file,
        first=first or file.first,
        last=last or file.last,
        in_a_row=in_a_row or file.in_a_row,
        from_tuning=from_tuning or file.from_tuning,
    )
    named = _Named(asked, tunings, capos, medley, file, not without_work, conditions)
    wanted = named.wanted(_priced(file.prices, prices, price))
    from undersong.advice.set_document import set_json
    from undersong.advice.set_text import set_text
    from undersong.advice.sets import make_set

    made = watched(lambda watch: make_set(wanted, watch), asked.time_limit)
    title = file.title
    put_report(to, lambda: set_text(made, title, asked.width), lambda: set_json(made, title))
    if made.not_played:
        gone = ", ".join(dict.fromkeys(each.title for each in made.not_played))
        say(f"left out of the set, not to be played as asked: {gone}; the page says why")
        raise click.exceptions.Exit(ANSWER)
    if not made.proven:
        not_proven()


def _set_file(tunes: Sequence[str], choose: str | None) -> SetFile:
    """What was named, as one set file. Raises FretboardError and TuneError, a sentence each."""
    from undersong.advice.set_file import SetFile, is_list, lines_of, read_list, read_set

    sets = [name for name in tunes if Path(name).suffix.lower() == ".toml"]
    if sets and len(tunes) > 1:
        raise Refused(f"{sets[0]}: a set file is named alone; put the other tunes into it")
    if sets:
        return read_set(Path(sets[0]))
    lines: list[SetLine] = []
    for name in tunes:
        if name == "-":
            raise Refused("-: a set is made of files; save the tune and name its file")
        lines += read_list(name) if is_list(name) else lines_of(name, "", Path(), choose)
    return SetFile(tuple(lines))


def _priced(
    file: Mapping[str, int], prices: str | None, price: Sequence[tuple[str, int]]
) -> SetPrices:
    """The defaults, changed by the set file, by the file of prices, by single prices."""
    from scoring.set_order import SetPrices

    with naming("[prices]"):
        found = SetPrices.of(file)
    if prices is not None:
        with naming("--prices"):
            found = found.updated(dict(SetPrices.from_file(Path(prices)).changed))
    with naming("--price"):
        return found.updated(dict(price))


@dataclass(frozen=True)
class _Named:
    """What the options and the set file say."""

    asked: Asked
    tunings: tuple[str, ...]
    capos: str | None
    medley: bool
    file: SetFile
    arranged: bool
    conditions: str | None

    def wanted(self, prices: SetPrices) -> SetAsked:
        from fretboard import presets
        from solver.errors import ArrangeError
        from undersong.advice.set_asked import SetAsked

        tunes = tuple(self._tune(line) for line in self.file.lines)
        self._check_names()
        self._tell_alone(tunes)
        if not self.arranged and any(tune.medley for tune in tunes):
            raise Refused("--without-work: a medley's joins want the tunes arranged; leave it out")
        start, which = self.file.from_tuning, (self.asked.instrument, self.asked.scale)
        with naming("--from-tuning"):
            sat = start and presets.instrument(which[0], scale=which[1], tuning=start)
        made_for = presets.instrument(which[0], scale=which[1])
        self._warn(tunes)
        courses = {len(one.courses) for tune in tunes for one in tune.instruments}
        if len(courses | ({len(sat.courses)} if sat else set())) > 1:
            raise Refused("the tunings have not all as many strings; name such as have")
        try:
            return SetAsked(
                tunes,
                made_for,
                prices,
                sat or None,
                self._number("--first", self.file.first, tunes),
                self._number("--last", self.file.last, tunes),
                self.file.in_a_row,
                self.arranged,
            )
        except ArrangeError as error:
            raise Refused(str(error)) from None

    def _warn(self, tunes: Sequence[SetTune]) -> None:
        """Says on stderr which strings are tuned far from what they are made for."""
        from undersong.settings import strings_warning

        ways = {one.tuning: one for tune in tunes for one in tune.instruments}
        for warning in filter(
            None, (strings_warning(self.asked.instrument, one) for one in ways.values())
        ):
            say(f"warning: {warning}")

    def _tell_alone(self, tunes: Sequence[SetTune]) -> None:
        """Says on stderr which medley has one tune only, and so changes nothing."""
        names = [tune.medley for tune in tunes]
        for tune in tunes:
            if tune.medley and names.count(tune.medley) == 1:
                called = "" if self.medley or len(tunes) == 1 else f" {tune.medley!r}"
                say(
                    f"note: {tune.title} is the only tune of its medley{called}, so nothing is "
                    "played as one; give another tune the same"
                )

    def _check_names(self) -> None:
        seen: set[tuple[str, str | None]] = set()
        for line in self.file.lines:
            which = line.source, line.choose
            if which in seen:
                where = f"{line.where}: " if line.where else ""
                raise Refused(f"{where}{line.source} is named twice; name it once")
            seen.add(which)

    def _tune(self, line: SetLine) -> SetTune:
        """The tune with all its ways; every complaint says where it is named."""
        try:
            return self._read(line)
        except (Refused, ValueError) as error:
            told = error.message if isinstance(error, Refused) else str(error)
            if not line.where:
                raise Refused(told) from None
            raise Refused(f"{line.where}: {told.removeprefix('--')}") from None

    def _read(self, line: SetLine) -> SetTune:
        from undersong.advice.piece import Piece
        from undersong.advice.set_asked import SetTune
        from undersong.advice.set_file import WHOLE

        settings: dict[str, Any] = dict(line.settings)
        one = replace(self.asked, tune=line.source, choose=line.choose, **settings)
        refuse_unheard(one, (one.texture,))
        instruments = tuple(
            instrument_of(replace(one, tuning=tuning, capo=capo))
            for tuning in line.tunings or self._tunings()
            for capo in line.capos or self._capos()
        )
        tune = tune_of(one)
        name = line.source if line.choose is None else f"{line.source}: {line.choose}"
        for notice in dict.fromkeys(tune.notices):
            say(f"note: {name}: {notice}")
        style = style_of(one, tune, instruments[0])
        if self.arranged:
            refuse_lacking_all(tune, name, style.texture)
        piece = Piece(
            name,
            tune,
            hand_of(one),
            weights_of(one),
            self._conditions(line, tune, instruments[0]),
            partial(style_of, one, tune),
        )
        medley = WHOLE if self.medley else line.medley
        return SetTune(piece, tuple(dict.fromkeys(instruments)), medley, one.transpose)

    def _conditions(self, line: SetLine, tune: Tune, instrument: Instrument) -> Conditions:
        """What its file of conditions, or else the one beside it, asks of the tune."""
        from undersong.advice.set_file import IGNORED

        file = line.conditions or self.conditions
        if file is None and not self.arranged:
            file = IGNORED
        wanted = ConditionsAsked(
            alike=None, alike_price=None, shapes=None, known=None, known_price=None, at_most=(),
            at_least=(), pin=(), keep=(), forbid=(), costliest=None, conditions=file,
        )  # fmt: skip
        return conditions_of(wanted, line.source, instrument, music=tune)

    def _tunings(self) -> tuple[str | None, ...]:
        if not self.tunings:
            return (self.asked.tuning,)
        if self.asked.tuning is not None:
            raise Refused("--tunings: write --tuning or --tunings, not both")
        typed = [part.strip() for text in self.tunings for part in text.split(",")]
        if not all(typed):
            raise Refused("--tunings: write them with a comma between, such as D-A-d,D-A-A")
        return tuple(typed)

    def _capos(self) -> tuple[str, ...]:
        if self.capos is None:
            return (self.asked.capo,)
        return tuple(self.capos.split(","))

    def _number(self, option: str, wanted: str | None, tunes: Sequence[SetTune]) -> int | None:
        """Which tune that is; Refused where it is none, or more than one."""
        if wanted is None:
            return None
        text = wanted.strip().lower()
        found = [
            at
            for at, (tune, line) in enumerate(zip(tunes, self.file.lines, strict=True))
            if text in {tune.title.lower(), tune.piece.name.lower(), line.source.lower(),
                        Path(line.source).name.lower(), Path(line.source).stem.lower()}
        ]  # fmt: skip
        if len(found) != 1:
            what = "more than one tune is" if found else "no tune of the set is"
            titles = ", ".join(tune.title for tune in tunes)
            raise Refused(f"{option}: {what} called {wanted!r}; write one of {titles}")
        return found[0]
