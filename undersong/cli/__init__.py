"""The command line. One file a command; a new command is one file and one row of ``COMMANDS``.

Nothing but click is imported until a command runs, so that ``undersong --help`` answers at once.

Exit codes: 0 done; 1 the tune cannot be played as asked (an answer, in one sentence); 2 bad input
or a file that cannot be read or written; 3 the time limit came before the proof (the best answer
so far is written); 4 a fault of ours (the answer failed its check and was thrown away); 130 stopped
by Ctrl-C; 141 the reader of a pipe went away.

Public: main, group, COMMANDS.
"""

import os
import signal
import sys

from undersong.cli.endings import INTERRUPTED, STOPPED, ending, say
from undersong.cli.group import LazyGroup

COMMANDS = {
    "arrange": ("undersong.cli.arrange", "Turn a tune into a tab you can play, proven best."),
    "alternatives": (
        "undersong.cli.alternatives",
        "Find more ways to play a tune, each truly different.",
    ),
    "levels": ("undersong.cli.levels", "Make easier and harder versions, nested bar by bar."),
    "compare": ("undersong.cli.compare", "Put two or more answers side by side, bar by bar."),
    "page": ("undersong.cli.page", "Print staff and tab to hand out, as PDF or SVG."),
    "shapes": ("undersong.cli.shapes", "Draw the shapes of a tune, as on the fretboard."),
    "handout": ("undersong.cli.handout", "Print all levels of a tune in one PDF."),
    "book": ("undersong.cli.book", "Make a book of a folder, a list or a file of many tunes."),
    "sound": ("undersong.cli.sound", "Make a recording to play along with, or MIDI."),
    "practice": ("undersong.cli.practice", "Plan your practice: hardest changes first, slowly."),
    "why": ("undersong.cli.why", "Say why a bar is played so, and what other choices cost."),
    "desk": ("undersong.cli.desk", "Open the desk in your browser: hear, compare, change."),
    "learn": ("undersong.cli.learn", "Suggest weights under which what you like comes out best."),
    "keys": ("undersong.cli.keys", "Say in which key and tuning a tune is easiest."),
    "frets": ("undersong.cli.frets", "Say what extra frets do for what you play."),
    "jam": ("undersong.cli.jam", "Say which tuning and capos suit the evening's keys."),
    "sets": ("undersong.cli.sets", "Put a set of tunes in order: few retunings, keys that follow."),
    "mends": ("undersong.cli.mends", "Say what clashes, and the cheapest changes that mend it."),
    "chords": ("undersong.cli.chords", "Propose chords for a melody, as a chart to edit."),
    "check": ("undersong.cli.check", "Say what is wrong with a tab that was handed in."),
    "tunes": ("undersong.cli.tunes", "List the bundled tunes."),
    "instruments": ("undersong.cli.instruments", "List the instruments."),
    "tunings": ("undersong.cli.tunings", "List the tunings."),
    "hands": ("undersong.cli.hands", "List the hands."),
    "textures": ("undersong.cli.textures", "List the textures: song, solo, bass part, drone."),
    "manners": ("undersong.cli.manners", "List the bass manners."),
    "right-hands": ("undersong.cli.right_hands", "List the right-hand patterns."),
    "weights": ("undersong.cli.weights", "List the weights: what each wish may cost."),
    "conditions": ("undersong.cli.conditions", "Show how to ask for few shapes, limits and pins."),
    "tab-format": ("undersong.cli.tab_format", "Show how tab that was handed in is read."),
    "chart-format": ("undersong.cli.chart_format", "Show how to type a chart, on one page."),
    "set-format": ("undersong.cli.set_format", "Show how to write a set of tunes down."),
    "own-files": ("undersong.cli.own_files", "Show how to write a hand or instrument of your own."),
}
"""Name → (module whose ``command`` it is, its line in the list)."""

group = LazyGroup(
    name="undersong",
    rows=COMMANDS,
    help="Chords with a moving bass for the fretted dulcimer: the least hand work, proven.",
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)


def main() -> None:
    """Runs the command line as a process: always ends in ``SystemExit``, or at once where a
    search or a pipe still hangs."""
    _open_what_is_closed()
    heard = _hear_interrupts()
    try:
        group.main(prog_name="undersong")
        code = 0
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else 1
    except Exception:
        if not heard:
            raise
        say(STOPPED)  # a library that was just being loaded has an error of its own for it
        code = INTERRUPTED
    try:
        sys.stdout.flush()
    except OSError as error:
        known = ending(error)
        assert known is not None, "what the system says has an ending"
        code = known.code
        if known.line:
            say(known.line)
    if code:
        os._exit(code)  # a search may still run in its thread, and a full or lost pipe stays so
    sys.exit(0)


def _hear_interrupts() -> list[int]:
    """Lets Ctrl-C raise KeyboardInterrupt, as ever, and notes in the list that it did."""
    heard: list[int] = []

    def hear(number: int, _: object) -> None:
        heard.append(number)
        raise KeyboardInterrupt

    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, hear)
    return heard


def _open_what_is_closed() -> None:
    """Gives the process nowhere to read from or write to where the shell has closed a stream."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            from pathlib import Path

            nowhere = Path(os.devnull).open(mode, encoding="utf-8")  # noqa: SIM115  kept to the end
            setattr(sys, name, nowhere)
