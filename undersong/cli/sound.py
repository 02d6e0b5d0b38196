"""``undersong sound``: a recording to listen to or to play along with, or MIDI."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import click

from fretboard.hand import CAUTION
from undersong.cli.answered import arranged
from undersong.cli.asked import Asked
from undersong.cli.conditions import ConditionsAsked, condition_options
from undersong.cli.endings import UNPROVEN, Refused, naming, say
from undersong.cli.handed_in import counted_answer, refuse_settings
from undersong.cli.kinds import whole
from undersong.cli.opening import opened
from undersong.cli.options import TUNE_IS, from_capo, time_limit, tune_options
from undersong.cli.output import check_files

if TYPE_CHECKING:
    from fretboard.instrument import Instrument
    from solver.result import Arrangement
    from tune.tune import Tune
    from undersong.session import Session
    from undersong.sound.sound_options import SoundOptions

SUFFIXES = (".wav", ".flac", ".mp3", ".ogg", ".mid")
_BARS = re.compile(r"\s*([0-9]{1,4})\s*(?:[-–]\s*([0-9]{1,4})\s*)?")
_PLAY_AT = re.compile(r"\s*([0-9]{1,4})\s*(%?)\s*")
_HEARD_NAMES = (
    "play_at", "count_in", "click", "bars", "time", "loop", "gap", "faster", "up_to", "string",
    "leave_out", "bass_down", "starting_note",
)  # fmt: skip
_OWN = frozenset((*_HEARD_NAMES, "tune", "to", "from_capo", "time_limit"))
"""What may be asked of a finished answer; all else stands in its file."""

_HEARD = (
    click.option(
        "--to",
        metavar="FILE",
        multiple=True,
        help=f"Where to: the suffix says what, {', '.join(SUFFIXES)}; again for more.",
    ),
    click.option(
        "--play-at",
        metavar="N|N%",
        help="How fast it is played: beats a minute, or a share of the tune's tempo such as 70%. "
        "(--tempo is the tempo that it is arranged for.)",
    ),
    click.option(
        "--count-in",
        metavar="N",
        default="0",
        callback=whole(0, 8, "bars"),
        help="Bars of clicks first; before a pickup its missing beats too.",
    ),
    click.option("--click", is_flag=True, help="A click on every beat."),
    click.option(
        "--bars", metavar="N-N", help="Only these bars as printed, such as 5-8 or 5; 0 is a pickup."
    ),
    click.option(
        "--time",
        metavar="N",
        callback=whole(1, 999, "times through"),
        help="With --bars: which time through, where they are repeated.  [default: the first that "
        "leads from one to the other without a detour]",
    ),
    click.option(
        "--loop",
        metavar="N",
        default="1",
        callback=whole(1, 999, "times"),
        help="How often it is played.",
    ),
    click.option(
        "--gap",
        metavar="N",
        default="0",
        callback=whole(0, 64, "beats"),
        help="With --loop: beats of rest between.",
    ),
    click.option(
        "--faster",
        metavar="N",
        default="0",
        callback=whole(0, 390, "beats a minute"),
        help="With --loop: beats a minute more each time. If --count-in is asked for too, each new "
        "tempo is counted in.",
    ),
    click.option(
        "--up-to",
        metavar="N",
        callback=whole(10, 400, "beats a minute"),
        help="With --faster: the tempo that this stops at.",
    ),
    click.option("--string", metavar="NAME", help="This string alone: bass, middle, melody …"),
    click.option(
        "--leave-out", metavar="NAME", multiple=True, help="Not this string; again for more."
    ),
    click.option(
        "--bass-down",
        is_flag=True,
        help="The bass string an octave lower, as a bass instrument plays it.",
    ),
    click.option(
        "--starting-note", is_flag=True, help="The singer's first note before everything else."
    ),
)


def _heard_options(function: Any) -> Any:
    for option in reversed(_HEARD):
        function = option(function)
    return function


@click.command(
    "sound",
    epilog="Instead of a tune an answer may be named that was written with --to FILE.json. The "
    "strings are made by calculation, at the instrument's own pitches. MIDI takes the tempo, the "
    "bars and the strings that are asked for; General MIDI has no fretted dulcimer, so it names a "
    f"steel guitar. {TUNE_IS} {CAUTION}",
)
@tune_options
@_heard_options
@from_capo("in what you ask")
@time_limit("Seconds that the search may take; then the best so far is played.")
@condition_options
@click.pass_context
def command(context: click.Context, /, to: tuple[str, ...], **options: Any) -> None:
    """Make a recording to listen to or to play along with, or a MIDI file."""
    if not to:
        raise Refused("--to: name the file to write, such as --to tune.mp3")
    check_files(to, options["tune"], SUFFIXES)
    asked_for = {name: options.pop(name) for name in _HEARD_NAMES}
    if options["tune"].lower().endswith(".json"):
        refuse_settings(context, _OWN)
        arrangement = counted_answer(options["tune"], options["from_capo"])
        wishes = _wishes(arrangement.tune, arrangement.instrument, to, **asked_for)
        _write(arrangement, to, wishes)
        return
    limit, wanted = options["time_limit"], ConditionsAsked.taken_from(options)
    asked = Asked(**options, to=(), melody_on_top=False, width=80, unicode=False)
    judged: list[SoundOptions] = []

    def judge(session: Session) -> None:
        judged.append(_wishes(session.tune, session.instrument, to, **asked_for))

    arrangement = arranged(opened(asked, wanted, ready=judge), limit)
    (wishes,) = judged
    _write(arrangement, to, wishes)
    _end(arrangement)


def _wishes(
    tune: Tune,
    instrument: Instrument,
    to: tuple[str, ...],
    *,
    play_at: str | None,
    bars: str | None,
    time: int | None,
    loop: int,
    string: str | None,
    leave_out: tuple[str, ...],
    **others: Any,
) -> SoundOptions:
    """What was asked for, as far as it can be judged before the tune is arranged."""
    from undersong.sound.plan import check
    from undersong.sound.sound_options import SoundOptions

    tempo, percent = _play_at(play_at)
    if time is not None and bars is None:
        raise Refused("--time: say of which bars, with --bars")
    played = _bars(tune, bars, time) if bars is not None else None
    only = None if string is None else _course(instrument, string, "--string")
    without = frozenset(_course(instrument, name, "--leave-out") for name in leave_out)
    if only is not None and without:
        raise Refused("--leave-out: --string has one string alone already; use one of them")
    for option in ("gap", "faster"):
        if others[option] and loop == 1:
            raise Refused(f"--{option}: this is for music played more than once; add --loop 2")
    if others["up_to"] is not None and not others["faster"]:
        raise Refused("--up-to: say how much faster each time, such as --faster 4")
    options = SoundOptions(
        tempo=tempo,
        percent=percent,
        bars=played,
        times=loop,
        only=only,
        without=without,
        **others,
    )
    check(tune, instrument, options)
    for name in to:
        if _is_midi(name):
            from undersong.sound.midi import check_midi

            with naming(f"--to {name}"):
                check_midi(options)
    return options


def _play_at(text: str | None) -> tuple[int | None, int | None]:
    """Beats a minute or percent."""
    if text is None:
        return None, None
    match = _PLAY_AT.fullmatch(text)
    number = int(match.group(1)) if match else 0
    if match is None or not 10 <= number <= 400:
        raise Refused(
            f"--play-at: write beats a minute or a share of the tune's tempo, 10 to 400, such as "
            f"80 or 70%, not {text!r}"
        )
    return (None, number) if match.group(2) else (number, None)


def _bars(tune: Tune, text: str, time: int | None) -> tuple[int, int]:
    from undersong.sound.passages import passage

    match = _BARS.fullmatch(text)
    if match is None:
        raise Refused(f"--bars: write bars as printed, such as 5-8 or 5, not {text!r}")
    first, last = int(match.group(1)), int(match.group(2) or match.group(1))
    with naming(f"--bars {text}"):
        return passage(tune, first, last, time)


def _course(instrument: Instrument, name: str, option: str) -> int:
    """The string of that name."""
    names = [instrument.course_name(course) for course in range(len(instrument.courses))]
    wanted = name.strip().lower().replace("-", " ")
    if wanted not in names:
        raise Refused(f"{option}: there is no string {name!r}; the strings are {', '.join(names)}")
    return names.index(wanted)


def _is_midi(name: str) -> bool:
    return name.lower().endswith(".mid")


def _write(arrangement: Arrangement, to: tuple[str, ...], wishes: SoundOptions) -> None:
    for name in to:
        with naming("--to"):
            if _is_midi(name):
                from undersong.sound.midi import write_midi

                write_midi(arrangement, name, wishes)
            else:
                from undersong.sound.files import write_sound

                write_sound(arrangement, name, wishes)


def _end(arrangement: Arrangement) -> None:
    from solver.result import PROVEN

    if arrangement.proof.status != PROVEN:
        say("what is played is the best so far, not proven best; allow more with --time-limit")
        raise click.exceptions.Exit(UNPROVEN)
