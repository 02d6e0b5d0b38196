"""Options that would change nothing where they are given: refused, or told on stderr.

What a texture does not play cannot be asked of it: such an option is refused, with the reason and
the mend. What only some kinds of page show is told, and the rest goes on.

Public: refuse_unheard, tell_unprinted, tell_uncounted, Unheard, UNHEARD, Unprinted, UNPRINTED,
USUAL_RIGHT_HAND, TEXTURE_NAMES.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from typing import TYPE_CHECKING, NamedTuple

from undersong.cli.asked import Asked
from undersong.cli.endings import Refused, say

if TYPE_CHECKING:
    from fretboard.instrument import Instrument

USUAL_RIGHT_HAND = "bass-then-strum"

TEXTURE_NAMES = {"song": "a song", "solo": "a solo", "bass": "a bass part", "drone": "a drone"}


class Unheard(NamedTuple):
    """given: whether the option was; textures: in which it changes nothing; why: what is so there,
    and what to do."""

    option: str
    given: Callable[[Asked], bool]
    textures: tuple[str, ...]
    why: str


_NO_MELODY = "plays no melody"

UNHEARD = (
    Unheard(
        "--graces",
        lambda asked: asked.graces,
        ("song", "bass"),
        f"{_NO_MELODY}; leave it out, or take --texture solo or drone",
    ),
    Unheard(
        "--melody-highest",
        lambda asked: asked.melody_highest is not None,
        ("song", "bass"),
        f"{_NO_MELODY}; leave it out, or take --texture solo or drone",
    ),
    Unheard(
        "--highest",
        lambda asked: asked.highest is not None,
        ("bass", "drone"),
        "stops no string that this limits; write --bass-ceiling for a bass part, --melody-highest "
        "for a drone",
    ),
    Unheard(
        "--bass-ceiling",
        lambda asked: asked.bass_ceiling is not None,
        ("drone",),
        "leaves the bass string open; leave it out",
    ),
    Unheard(
        "--bass-above",
        lambda asked: asked.bass_above,
        ("bass", "drone"),
        "has no strings that must lie above a moving bass; leave it out",
    ),
    Unheard(
        "--right-hand",
        lambda asked: asked.right_hand != USUAL_RIGHT_HAND,
        ("drone",),
        "is struck with the melody and needs no pattern; leave it out",
    ),
    Unheard(
        "--no-chord",
        lambda asked: asked.no_chord != "rest",
        ("drone",),
        "sounds the same whatever the chords are; leave it out",
    ),
    Unheard(
        "--melody-on-top",
        lambda asked: asked.melody_on_top,
        ("bass",),
        "has one line on the page, the bass string's; leave it out",
    ),
)
"""In the order in which they are looked at."""


def tell_uncounted(from_capo: bool, instruments: Iterable[Instrument]) -> None:
    """Says on stderr that ``--from-capo`` changes nothing where no capo sits anywhere."""
    if from_capo and not any(instrument.capo for instrument in instruments):
        say("note: --from-capo changed nothing: there is no capo; put one on with --capo")


def refuse_unheard(asked: Asked, textures: Collection[str]) -> None:
    """Raises Refused for an option that changes nothing in any of the textures."""
    for option, given, silent, why in UNHEARD:
        if given(asked) and textures and set(textures) <= set(silent):
            names = " or ".join(TEXTURE_NAMES[name] for name in sorted(set(textures)))
            raise Refused(f"{option}: {names} {why}")


class Unprinted(NamedTuple):
    """given: whether the option was; silent: suffixes of files in which it changes nothing."""

    option: str
    given: Callable[[Asked], bool]
    silent: frozenset[str]


_SOUND = frozenset((".wav", ".flac", ".mp3", ".ogg", ".mid"))
_FIGURES = frozenset((".json", ".csv"))
_NO_BOXES = frozenset((".musicxml", *_SOUND, *_FIGURES))

UNPRINTED = (
    Unprinted("--width", lambda asked: asked.width != 80, _NO_BOXES),
    Unprinted("--unicode", lambda asked: asked.unicode, _NO_BOXES),
    Unprinted("--shapes-used", lambda asked: asked.shapes_used, _NO_BOXES),
    Unprinted("--left-handed", lambda asked: asked.left_handed, _NO_BOXES),
    Unprinted("--melody-on-top", lambda asked: asked.melody_on_top, _SOUND | _FIGURES),
)


def tell_unprinted(asked: Asked, suffixes: Collection[str]) -> None:
    """Says on stderr which options change nothing in files of these suffixes, one line for all;
    suffixes: ``.txt`` for a page on standard output."""
    idle = [
        option for option, given, silent in UNPRINTED if given(asked) and set(suffixes) <= silent
    ]
    if idle and suffixes:
        kinds = ", ".join(sorted(set(suffixes)))
        say(f"note: {', '.join(idle)} changed nothing: what was written is {kinds}")
    elif idle:
        say(f"note: {', '.join(idle)} changed nothing: no page was written; name one with --to")
    _tell_octaves(asked, suffixes)


def _tell_octaves(asked: Asked, suffixes: Collection[str]) -> None:
    """A song and a bass part do not play the melody that ``--octave`` moves."""
    if not asked.octave or asked.texture not in ("song", "bass"):
        return
    if set(suffixes) <= {".txt", *_SOUND, ".csv"}:
        say(
            f"note: --octave changed nothing: {TEXTURE_NAMES[asked.texture]} does not play the "
            "melody, and no staff was written"
        )
