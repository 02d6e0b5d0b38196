"""What the options of ``undersong book`` say, as the settings of every tune.

Public: settings_of, LEFT_OUT.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from undersong.cli.asked import Asked, hand_of, instrument_of, style_of, weights_of
from undersong.cli.conditions import IGNORED, ConditionsAsked, wishes_asked
from undersong.cli.endings import Refused, naming, say
from undersong.cli.page_options import PAGE_NAMES, options_for
from undersong.cli.unheard import refuse_unheard

if TYPE_CHECKING:
    from fretboard.instrument import Instrument
    from undersong.book.settings import Asking, Settings
    from undersong.conditions_file import Wishes
    from undersong.levels import Level

LEFT_OUT = frozenset(
    ("choose", "form", "tempo", "octave", "texture", "keep", "bass_part", "level", "from_capo")
)
"""Options that other commands have and that cannot be meant for every tune of a book."""

_RANGE = re.compile(r"\s*([0-9]{1,2})\s*(?:[-–]\s*([0-9]{1,2})\s*)?")
_OWN = ("textures", "levels", "tune_limit", "mends")


def settings_of(source: str, wanted: ConditionsAsked, options: dict[str, Any]) -> Settings:
    """Refused, or the rooms' own errors, one sentence each, for what cannot be."""
    from undersong.book.settings import CHORDS, Settings

    textures, levels, limit, mends = (options.pop(name) for name in _OWN)
    shown = {name: options.pop(name) for name in PAGE_NAMES if name in options}
    look = options_for(**{"bass_part": False, "level": "", "from_capo": False, **shown})
    textures = textures or ("song",)
    for name in textures:
        if textures.count(name) > 1:
            raise Refused(f"--texture {name}: this is asked for twice; ask once")
    asked = [_asked(source, texture, shown, options) for texture in textures]
    first = asked[0]
    refuse_unheard(first, textures)
    if first.chords not in CHORDS:
        raise Refused(f"--chords: write given, proposed or drone, not {first.chords!r}")
    if levels is not None and first.bass is not None:
        raise Refused("--bass: each level has a bass manner of its own; write it in a levels file")
    instrument = instrument_of(first)
    if first.tuning is not None:
        from undersong.settings import strings_warning

        warning = strings_warning(first.instrument, instrument)
        if warning:
            say(f"warning: {warning}")
    return Settings(
        instrument=instrument,
        hand=hand_of(first),
        askings=tuple(_asking(each, levels, instrument) for each in asked),
        usual_ceiling=first.bass_ceiling is None,
        weights=weights_of(first),
        wishes=_wishes(wanted, instrument),
        beside=wanted.conditions is None,
        chords=first.chords,
        transpose=first.transpose,
        look=look,
        seconds=limit,
        mends=mends,
    )


def _asked(source: str, texture: str, shown: dict[str, Any], options: dict[str, Any]) -> Asked:
    """What one command for one tune in that texture would be asked."""
    return Asked(
        **options,
        tune=source,
        choose=None,
        form=None,
        tempo=None,
        octave=(),
        texture=texture,
        to=(),
        melody_on_top=shown["melody_on_top"],
        from_capo=False,
        width=80,
        unicode=False,
        time_limit=0.0,
    )


def _asking(asked: Asked, levels: str | None, instrument: Instrument) -> Asking:
    from undersong.book.settings import Asking

    style = style_of(asked, None, instrument)
    return Asking(style, None if levels is None else _levels(levels, asked.texture))


def _levels(text: str, texture: str) -> tuple[Level, ...]:
    from undersong.levels import levels_for, read_levels

    read = _RANGE.fullmatch(text)
    if read is None:
        if Path(text).suffix.lower() != ".toml":
            raise Refused(
                f"--levels: write the first and the last, such as 1-5, or the name of a levels "
                f"file that ends in .toml, not {text!r}"
            )
        return read_levels(Path(text), text)
    levels = levels_for(texture)
    first, last = int(read[1]), int(read[2] or read[1])
    if not 1 <= first <= last <= len(levels):
        raise Refused(
            f"--levels: write one of the {len(levels)} levels, or the first and the last, such as "
            f"1-{len(levels)}, not {text!r}"
        )
    return levels[first - 1 : last]


def _wishes(wanted: ConditionsAsked, instrument: Instrument) -> Wishes:
    """What is asked of every tune, but for conditions in files beside tunes."""
    from undersong.conditions_file import read_wishes

    wishes = wishes_asked(wanted, instrument)
    if wanted.conditions is not None and wanted.conditions != IGNORED:
        with naming("--conditions"):
            file = read_wishes(Path(wanted.conditions), wanted.conditions, instrument)
        wishes = wishes.over(file)
    with naming("conditions"):
        wishes.conditions()
    return wishes
