"""Mends of the settings: strings, frets, capo, hand, bass manner, right hand, key.

Public: setting_ideas.
"""

from collections.abc import Iterator
from dataclasses import replace

from fretboard.errors import FretboardError
from fretboard.frets import HIGHEST_SEMITONE, fret_label, fret_semitones
from fretboard.hand import CAUTION, FINGERS, Hand
from fretboard.instrument import Instrument
from fretboard.presets import instruments, tunings
from fretboard.tuning import pitch_name
from solver.demands import Wanted
from solver.manners import MANNERS
from solver.righthand import right_hands
from solver.style import manners_in
from tune.errors import TuneError
from undersong.mends.mend import Idea, Kind

EXTRA_FRETS = ("6+", "1+", "8+", "13+")
HIGHEST_CAPO = 5
WIDER_MM = 15
MOST_RETUNING = 3
"""Semitones: a string that is tuned further wants another string."""

FURTHEST = 8
"""Semitones by which a ceiling is raised at most."""


def setting_ideas(wanted: Wanted, transposed: int = 0) -> Iterator[Idea]:
    """Every change of settings worth trying, near ones first, those that ask more of the hand
    last; transposed: semitones that the tune was asked to be moved by already."""
    yield from _style_ideas(wanted)
    yield from _fret_ideas(wanted)
    yield from _capo_ideas(wanted)
    yield from _tuning_ideas(wanted)
    yield from _all_strings_ideas(wanted)
    yield from _key_ideas(wanted, transposed)
    yield from _hand_ideas(wanted)


def _style_ideas(wanted: Wanted) -> Iterator[Idea]:
    style, instrument = wanted.style, wanted.instrument
    for by, name in _higher(instrument, 0, style.bass_ceiling):
        yield Idea(
            Kind.CEILING, f"let the bass go up to fret {name}", f"--bass-ceiling {name}",
            "the bass may climb higher",
            replace(wanted, style=replace(style, bass_ceiling=style.bass_ceiling + by)),
            loosened=by,
        )  # fmt: skip
    for by, name in _higher(instrument, len(instrument.courses) - 1, style.highest):
        yield Idea(
            Kind.HIGHEST, f"let the other strings go up to fret {name}", f"--highest {name}",
            "the hand may go higher",
            replace(wanted, style=replace(style, highest=style.highest + by)),
            loosened=by,
        )  # fmt: skip
    if style.bass_lowest:
        yield Idea(
            Kind.BELOW, "let other strings sound below the bass", "--bass-above",
            "the bass is not always the lowest note", replace(
                wanted, style=replace(style, bass_lowest=False)),
        )  # fmt: skip
    for name in manners_in(style.texture):
        meaning = MANNERS[name][0]
        if name != style.manner:
            yield Idea(
                Kind.MANNER, f"another bass manner, {name}: {meaning}", f"--bass {name}",
                f"the bass is no longer {style.manner}",
                replace(wanted, style=replace(style, manner=name)),
            )  # fmt: skip
    for hand in right_hands() if style.texture != "drone" else ():
        if hand.name != style.right_hand.name:
            yield Idea(
                Kind.RIGHT_HAND, f"another right hand, {hand.name}", f"--right-hand {hand.name}",
                f"the right hand is no longer {style.right_hand.name}",
                replace(wanted, style=replace(style, right_hand=hand)),
            )  # fmt: skip


def _higher(instrument: Instrument, course: int, limit: int) -> Iterator[tuple[int, str]]:
    """(by how many semitones, printed fret) for every fret of the course above ``limit``, which is
    counted from the capo, as far as a limit may be raised."""
    for by in range(1, min(FURTHEST, HIGHEST_SEMITONE - limit) + 1):
        fret = instrument.capo + limit + by
        if instrument.has(course, fret):
            yield by, instrument.told(fret)


def _hand_ideas(wanted: Wanted) -> Iterator[Idea]:
    hand = wanted.hand
    if hand.noter:
        yield Idea(
            Kind.FINGER, "fingers instead of a noter", "--hand medium",
            f"the stick is laid down, and the fingers stop strings. {CAUTION}",
            replace(wanted, hand=Hand()),
        )  # fmt: skip
        return
    for finger in FINGERS:
        if finger not in hand.may_bar and finger not in hand.not_used:
            yield Idea(
                Kind.BAR, f"let finger {finger} bar", "", "a bar to learn; in a hand file: "
                f'may_bar = "{_in_order(hand.may_bar + finger)}". {CAUTION}',
                replace(wanted, hand=replace(hand, may_bar=_in_order(hand.may_bar + finger))),
            )  # fmt: skip
    for finger in hand.not_used:
        rest = hand.not_used.replace(finger, "")
        yield Idea(
            Kind.FINGER, f"use finger {finger} too", "", "a finger that was to rest; in a hand "
            f'file: not_used = "{rest}". {CAUTION}',
            replace(wanted, hand=replace(hand, not_used=rest)),
        )  # fmt: skip
    if not hand.thumb_on_bass:
        yield Idea(
            Kind.FINGER, "let the thumb stop the bass string too", "", "a place that the thumb was "
            f"to keep off; in a hand file: thumb_on_bass = true. {CAUTION}",
            replace(wanted, hand=replace(hand, thumb_on_bass=True)),
        )  # fmt: skip
    span = hand.span_mm + WIDER_MM
    if span <= 320:
        wider = replace(hand, name=f"span {span} mm", span_mm=span, comfortable={}, greatest={})
        yield Idea(
            Kind.REACH, f"only if your hand has it: a span of {span} mm", f"--hand {span}mm",
            f"wider stretches. {CAUTION}", replace(wanted, hand=wider),
        )  # fmt: skip


def _in_order(letters: str) -> str:
    return "".join(finger for finger in FINGERS if finger in letters)


def _fret_ideas(wanted: Wanted) -> Iterator[Idea]:
    for label in EXTRA_FRETS:
        try:
            made = wanted.instrument.with_fret(fret_semitones(label))
        except FretboardError:
            continue  # its frets end before that one
        if made == wanted.instrument:
            continue
        name = _preset(made)
        typed = f"--instrument {name}" if name else ""
        yield Idea(
            Kind.FRET, f"an instrument with the extra fret {label}", typed,
            f"needs the fret {label}", replace(wanted, instrument=made),
        )  # fmt: skip


def _preset(made: Instrument) -> str:
    """The preset that has just these strings and frets, or nothing."""
    return next(
        (
            info.name
            for info in instruments()
            if info.instrument.courses == made.courses
            and info.instrument.scale_mm == made.scale_mm
            and info.instrument.spacing_mm == made.spacing_mm
        ),
        "",
    )


def _capo_ideas(wanted: Wanted) -> Iterator[Idea]:
    instrument = wanted.instrument
    shared = set.intersection(*(set(course.frets) for course in instrument.courses))
    for fret in (0, *sorted(shared)):
        if fret == instrument.capo or fret > fret_semitones(str(HIGHEST_CAPO)):
            continue
        try:
            made = instrument.with_capo(fret)
        except FretboardError:
            continue
        words = f"capo at {fret_label(fret)}" if fret else "no capo"
        counted = "capo" if fret and made.from_capo else "nut"
        yield Idea(
            Kind.CAPO, words, f"--capo {fret_label(fret)}",
            f"other open strings, frets counted from the {counted}",
            replace(wanted, instrument=made),
        )  # fmt: skip


def _tuning_ideas(wanted: Wanted) -> Iterator[Idea]:
    instrument = wanted.instrument
    for course in range(len(instrument.courses)):
        for by in (-2, -1, 1, 2):
            pitches = list(instrument.tuning)
            pitches[course] += by
            try:
                made = instrument.with_tuning(tuple(pitches))
            except FretboardError:
                continue
            how = _how(by)
            named = " ".join(map(pitch_name, pitches))
            yield Idea(
                Kind.TUNING, f"tune the {instrument.course_name(course)} string {how}: {named}",
                f"--tuning '{named}'", "retuning one string", replace(wanted, instrument=made),
            )  # fmt: skip


def _all_strings_ideas(wanted: Wanted) -> Iterator[Idea]:
    """Every string tuned alike, or as one of the usual tunings."""
    instrument = wanted.instrument
    old = instrument.tuning
    options = {
        tuple(pitch + by for pitch in old): f"tune every string {_how(by)}" for by in (-2, -1, 1, 2)
    }
    for info in tunings():
        near = len(info.pitches) == len(old) and all(
            abs(new - pitch) <= MOST_RETUNING for new, pitch in zip(info.pitches, old, strict=True)
        )
        changed = near and sum(map(int.__ne__, info.pitches, old))
        if changed and changed > 1:
            options.setdefault(info.pitches, f"tune to {info.name}")
    for pitches, words in options.items():
        try:
            made = instrument.with_tuning(pitches)
        except FretboardError:
            continue
        named = " ".join(map(pitch_name, pitches))
        yield Idea(
            Kind.TUNING, f"{words}: {named}", f"--tuning '{named}'", "retuning several strings",
            replace(wanted, instrument=made),
        )  # fmt: skip


def _how(by: int) -> str:
    return f"{'a step' if abs(by) == 2 else 'half a step'} {'up' if by > 0 else 'down'}"


def _key_ideas(wanted: Wanted, transposed: int) -> Iterator[Idea]:
    for by in (-1, 1, -2, 2, -3, 3, -4, 4, -5, 5, 6):
        if not -24 <= transposed + by <= 24:
            continue
        try:
            tune = wanted.tune.transposed(by)
        except TuneError:
            continue
        count = "1 semitone" if abs(by) == 1 else f"{abs(by)} semitones"
        yield Idea(
            Kind.KEY, f"play it in {tune.key}, {count} {'up' if by > 0 else 'down'}",
            f"--transpose {transposed + by}", "whoever sings or plays along must move too",
            replace(wanted, tune=tune),
        )  # fmt: skip
