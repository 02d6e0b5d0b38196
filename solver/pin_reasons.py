"""Which rule of playing a single pin contradicts at a moment.

What the pin leaves is put before the rules one by one, in the order below, for each set of strings
that the right hand may strike; the rule that leaves nothing is named, and of several sets of
strings the one that came furthest speaks.

    strings   what the right hand strikes sounds, what it does not strike is silent or rings on
    ceiling   the highest fret of the bass string and of the others
    chord     what sounds above the bass is a tone of the chord
    bass      the bass takes what the manner asks, foreign notes come by step, what rings was struck
    lowest    no string sounds below the bass
    hand      the fingers are there, in order, within reach

Public: reason, Stage; and for ``pin_reasons_melody`` what it shares: Fixed, wanted_frets, is_note,
held, hand_words, bass_words, bass_is_lowest, NOTHING_ELSE.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

from fretboard.fingering import fingerings
from fretboard.hand import FINGERS, Hand
from fretboard.instrument import Instrument
from scoring.moment import FOREIGN, ROLES, Moment, Strokes
from solver.conditions.pinned import BassNote, BassRole, Hands, OneString, Shape
from solver.conditions.wording import SILENT
from solver.layers import Past
from solver.line import RETURN_BY
from solver.pin_masks import Demand, named_finger
from solver.refusal import note
from solver.roles import bass_roles
from solver.style import Style

NOTHING_ELSE = "nothing else is left that the chord, the bass line and the hand allow here"

_FAR = 10_000


@dataclass(frozen=True)
class Stage:
    """The moment with what came before, and who plays it on what."""

    moment: Moment
    past: Past
    instrument: Instrument
    hand: Hand
    style: Style

    @property
    def bass_limit(self) -> int:
        return self.instrument.capo + self.style.bass_ceiling

    def limit(self, course: int) -> int:
        return self.instrument.capo + self.style.highest if course else self.bass_limit

    def name(self, course: int) -> str:
        return f"the {self.instrument.course_name(course)} string"

    def note(self, course: int, fret: int) -> str:
        assert self.moment.chord is not None
        return note(self.instrument.pitch(course, fret) % 12, self.moment.chord)


Fixed = Shape | OneString | Hands | BassNote | BassRole


def reason(demand: Demand, stage: Stage) -> str:
    """The rule that the demand contradicts by itself, as the end of a sentence."""
    asked = demand.asked
    if demand.forbid or not isinstance(asked, Fixed):
        return NOTHING_ELSE
    told = [_against(asked, struck, stage) for struck in stage.moment.strikes]
    return max(told, key=lambda pair: pair[0])[1]


def _against(asked: Fixed, struck: Strokes, stage: Stage) -> tuple[int, str]:
    """(how many rules it passed, the rule that it does not)."""
    if isinstance(asked, Hands) and asked.struck not in (None, struck):
        return 0, "the right hand strikes other strings here"
    options: list[list[int]] = []
    for course in range(len(struck)):
        left = wanted_frets(asked, course, stage)
        for rank, rule in enumerate((_strings, _ceiling, _chord, _bass), start=1):
            kept = [fret for fret in left if rule(course, fret, struck, asked, stage)]
            if not kept:
                return rank, _SAY[rank](course, left, struck, asked, stage)
            left = kept
        options.append(left)
    ways = list(product(*options))
    if stage.style.bass_lowest:
        ways = [frets for frets in ways if bass_is_lowest(frets, stage.instrument)]
        if not ways:
            return 5, "another string would sound below the bass"
    if not any(held(asked, frets, stage.instrument, stage.hand) for frets in ways):
        return 6, hand_words(asked, ways, stage)
    return 7, NOTHING_ELSE


def wanted_frets(asked: Fixed, course: int, stage: Stage) -> list[int]:
    """What the demand leaves for one string, all frets of the instrument and silence considered."""
    every = [SILENT, *stage.instrument.frets(course)]
    if isinstance(asked, BassNote | BassRole):
        return every
    frets = asked.shape.frets if isinstance(asked, Hands) else asked.frets
    fret = frets[course]
    if fret is None:
        return every
    asked_for = stage.moment.strikes[0][course]
    if isinstance(asked, Hands) or fret == SILENT or asked_for:
        return [fret]
    return [SILENT, fret]


def _strings(course: int, fret: int, struck: Strokes, asked: Fixed, stage: Stage) -> bool:
    if struck[course]:
        return fret >= 0
    left_out = course > 0 and stage.moment.strikes[0][course]
    damped = course == 0 and stage.moment.damped
    return fret < 0 or not (left_out or damped or not stage.moment.plays[course])


def _ceiling(course: int, fret: int, struck: Strokes, asked: Fixed, stage: Stage) -> bool:
    return fret <= stage.limit(course)


def _chord(course: int, fret: int, struck: Strokes, asked: Fixed, stage: Stage) -> bool:
    chord = stage.moment.chord
    assert chord is not None
    open_rings = not struck[course] and fret in (SILENT, stage.instrument.capo)
    sounds = stage.instrument.pitch(course, fret) % 12
    return course == 0 or open_rings or sounds in chord.pitch_classes


def _bass(course: int, fret: int, struck: Strokes, asked: Fixed, stage: Stage) -> bool:
    if course > 0:
        return True
    if fret < 0:
        return not stage.moment.rings
    pitch = stage.instrument.pitch(0, fret)
    if not struck[0]:
        return bool(bass_roles(stage.moment, pitch, stage.instrument)) and pitch in stage.past.lines
    if isinstance(asked, BassNote) and not is_note(asked, pitch):
        return False
    return any(
        _may_come(role, pitch, stage)
        for role in bass_roles(stage.moment, pitch, stage.instrument)
        if not isinstance(asked, BassRole) or role == asked.role
    )


def is_note(asked: BassNote, pitch: int) -> bool:
    return asked.pitch == pitch if asked.pitch is not None else asked.pitch_class == pitch % 12


def _may_come(role: str, pitch: int, stage: Stage) -> bool:
    """Whether what came before lets a note of that role come."""
    lines = stage.past.lines
    if role == "passing":
        return any(pitch + by in lines for by in (-2, -1, 1, 2))
    if role == "neighbour":
        return any(pitch + by in lines for by in RETURN_BY.values())
    return role != "approach" or stage.moment.leads


def bass_is_lowest(frets: tuple[int, ...], instrument: Instrument) -> bool:
    sounding = [instrument.pitch(course, fret) for course, fret in enumerate(frets) if fret >= 0]
    return frets[0] < 0 or min(sounding) == sounding[0]


def held(asked: Fixed, frets: tuple[int, ...], instrument: Instrument, hand: Hand) -> bool:
    """Whether the hand can stop those frets with the fingers named."""
    if all(fret <= instrument.capo for fret in frets):
        return True
    shape = asked.shape if isinstance(asked, Hands) else asked
    if not isinstance(shape, Shape | OneString):
        return bool(fingerings(frets, instrument, hand))
    named = [named_finger(shape, course) for course in range(len(frets))]
    return any(
        all(
            want in (None, have) or have < 0 for want, have in zip(named, grip.fingers, strict=True)
        )
        for grip in fingerings(frets, instrument, hand)
    )


def hand_words(asked: Fixed, ways: list[tuple[int, ...]], stage: Stage) -> str:
    """What the hand cannot do: the first thing without which it could."""
    hand = stage.hand
    wide = dict.fromkeys(hand.greatest, _FAR)
    one_more = [
        (replace(hand, not_used=hand.not_used.replace(finger, "")),
         f"this hand does not use {finger}")
        for finger in hand.not_used
    ]  # fmt: skip
    for easier, words in (
        *one_more,
        (replace(hand, thumb_on_bass=True), "this hand keeps its thumb off the bass string"),
        (replace(hand, not_used=""), f"this hand does not use {' and '.join(hand.not_used)}"),
        (replace(hand, may_bar=FINGERS), "no finger of this hand may be laid across for it"),
        (replace(hand, greatest=wide), "the hand cannot reach it"),
        (
            replace(hand, greatest=wide, may_bar=FINGERS, not_used="", thumb_on_bass=True),
            "the hand cannot reach it",
        ),
    ):
        if any(held(asked, frets, stage.instrument, easier) for frets in ways):
            return words
    return "the fingers would have to cross, or lie across a lower fret"


def _say_strings(course: int, left: list[int], struck: Strokes, asked: Fixed, stage: Stage) -> str:
    if left == [SILENT]:
        return f"the right hand strikes {stage.name(course)} here"
    if not stage.moment.plays[course]:
        return f"this right hand never strikes {stage.name(course)}"
    return f"{stage.name(course)} is not struck here and cannot sound"


def _say_ceiling(course: int, left: list[int], struck: Strokes, asked: Fixed, stage: Stage) -> str:
    label = stage.instrument.told
    whose = "the bass ceiling" if course == 0 else "the highest allowed"
    return f"fret {label(min(left))} lies above {whose}, fret {label(stage.limit(course))}"


def _say_chord(course: int, left: list[int], struck: Strokes, asked: Fixed, stage: Stage) -> str:
    fret = next(fret for fret in left if fret >= 0)
    return (
        f"{stage.name(course)} at fret {stage.instrument.told(fret)} sounds "
        f"{stage.note(course, fret)}, which is no tone of the chord {stage.moment.chord}"
    )


def _say_bass(course: int, left: list[int], struck: Strokes, asked: Fixed, stage: Stage) -> str:
    return bass_words(left, struck, asked, stage)


def bass_words(left: list[int], struck: Strokes, asked: Fixed, stage: Stage) -> str:
    """What the bass may do instead of what is asked; left: the frets that are."""
    moment = stage.moment
    if left == [SILENT]:
        return "the bass must ring on here"
    if not struck[0]:
        label = stage.instrument.told(max(left))
        return f"the bass string is not struck here and cannot ring on at fret {label}"
    if isinstance(asked, BassRole) and asked.role in FOREIGN and asked.role in moment.roles:
        return f"no {asked.role} note can come from the bass note before"
    own = " or ".join(_own(stage))
    if moment.change and len(moment.roles) == 1:
        must = f"the bass must take the {own} where {moment.chord} begins"
    else:
        must = f"the bass may take the {own} of {moment.chord} here"
    foreign = [role for role in FOREIGN if role in moment.roles]
    if foreign:
        must += f", or by step a {' or '.join(foreign)} note"
    if isinstance(asked, Shape | OneString | Hands):
        fret = max(left)
        must += f", and fret {stage.instrument.told(fret)} is {stage.note(0, fret)}"
    return must


def _own(stage: Stage) -> Iterator[str]:
    """The roles that the bass may have, each with its note, and where the string lacks it."""
    moment = stage.moment
    assert moment.chord is not None
    for role in ROLES:
        pc = moment.role_pitch_class(role)
        if pc is None or role not in moment.roles | moment.fallback:
            continue
        there = any(
            stage.instrument.pitch(0, fret) % 12 == pc
            for fret in stage.instrument.frets(0)
            if fret <= stage.bass_limit
        )
        lacks = "" if there else ", not on the bass string so low"
        yield f"{role} ({note(pc, moment.chord)}{lacks})"
    if "drone" in moment.roles | moment.fallback:
        yield "open string"


_SAY = {1: _say_strings, 2: _say_ceiling, 3: _say_chord, 4: _say_bass}
