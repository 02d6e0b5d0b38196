"""A table of moments (``.csv``): one row for every moment as played, for people who count.

RFC 4180: comma between fields, CRLF after every row, double quotes around a field that holds a
comma, a quote or a line break; UTF-8 without a mark at its beginning; the first row is the header.

Columns, in order: ``moment`` counts from 1; ``bar`` is the bar as played, from 1, ``written_bar``
its printed number (0 for a pickup), ``time`` which time through; ``tick`` counts from the start of
the tune, 10,080 to the quarter note, and is exact; ``beat`` counts the felt beats of the bar from
1, a pickup's from its place in the full bar, and ``length`` is in quarter notes, both as decimals
of at most six places; ``start_ms`` (all ``ms`` before it) and ``ms`` are at the tune's own tempo;
``chord`` is what the page prints over it, empty for N.C.; ``bass_role`` is empty where no bass note
is struck; ``cost_ms`` is hand work, the way there included; ``bar_rating_percent`` is the
difficulty of the bar, the same in all its rows; ``hand_mm`` is where the index finger is, from the
nut. Then for every string, bass first, ``NAME_fret`` as printed (6+), empty for a silent string;
``NAME_finger``; ``NAME_pitch`` (MIDI); ``NAME_struck`` and ``NAME_ringing`` (it sounds on from
before), 1 or 0; ``NAME_damped``, 1 where the palm damps it. Last, ``cost NAME``: what each cost
term that occurs comes to, in ms.

Public: to_csv, table_bytes.
"""

import csv
from fractions import Fraction
from io import StringIO

from scoring.choice import Choice
from scoring.moment import Moment
from solver.result import Arrangement
from tune.time import quarters
from undersong.sheet.folding import leads
from undersong.sheet.options import SheetOptions
from undersong.sheet.printed_chords import printed_chords

_PLACE = ("moment", "bar", "written_bar", "time", "tick", "beat", "length")
_TIME = ("start_ms", "ms", "chord")
_WHOLE = ("bass_role", "cost_ms", "bar_rating_percent", "hand_mm")
_STRING = ("fret", "finger", "pitch", "struck", "ringing", "damped")


def to_csv(arrangement: Arrangement, options: SheetOptions | None = None) -> str:
    """The table; options: where printed frets count from."""
    options = options or SheetOptions()
    instrument = arrangement.instrument
    terms = [name for name, (amount, _) in arrangement.bill.terms.items() if amount]
    names = [
        f"{instrument.course_name(course).replace(' ', '_')}_{what}"
        for course in range(len(instrument.courses))
        for what in _STRING
    ]
    out = StringIO(newline="")
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow([*_PLACE, *_TIME, *_WHOLE, *names, *(f"cost {name}" for name in terms)])
    ratings = arrangement.difficulty.by_bar
    missing = leads(arrangement.tune)
    printed = printed_chords(arrangement)
    clock = 0
    for index, moment in enumerate(arrangement.moments):
        choice = arrangement.choices[index]
        row: list[object] = [index + 1, *_place(moment, arrangement, missing, clock)]
        row.append(next((chord.symbol for chord in printed[index][:1] if chord), ""))
        row += [choice.role or "", arrangement.bill.at(index)]
        row += [ratings.get(moment.bar, 0), choice.grip.place]
        for course in range(len(instrument.courses)):
            row += _string(course, moment, choice, arrangement, options)
        amounts = arrangement.bill.amounts[index]
        row += [amounts.get(name, 0) * arrangement.weights[name] for name in terms]
        table.writerow(row)
        clock += moment.ms
    return out.getvalue()


def _place(
    moment: Moment, arrangement: Arrangement, missing: tuple[int, ...], clock: int
) -> list[object]:
    """Where the moment is, and when."""
    played = arrangement.tune.played[moment.bar - 1]
    bar = arrangement.tune.bars[moment.written]
    beat = Fraction(moment.offset + missing[moment.bar - 1], bar.metre.beat) + 1
    where = [moment.bar, bar.number, played.turn, played.start + moment.offset]
    length = quarters(moment.length)
    return [*where, _decimal(beat), _decimal(length), clock, moment.ms]


def _decimal(number: Fraction) -> str:
    """``2``, ``2.5``, ``2.333333``."""
    return f"{float(number):.6f}".rstrip("0").rstrip(".")


def _string(
    course: int, moment: Moment, choice: Choice, arrangement: Arrangement, options: SheetOptions
) -> list[object]:
    fret, finger = choice.grip.frets[course], choice.grip.fingers[course]
    if fret < 0:
        return ["", "", "", 0, 0, 0]
    struck = choice.struck[course]
    return [
        arrangement.instrument.label(fret, options.from_capo),
        arrangement.hand.letter(finger) if finger >= 0 else "",
        arrangement.instrument.pitch(course, fret),
        int(struck),
        int(not struck),
        int(struck and course == 0 and moment.damped),
    ]


def table_bytes(arrangement: Arrangement, options: SheetOptions) -> bytes:
    """The file's bytes."""
    return to_csv(arrangement, options).encode("utf-8")
