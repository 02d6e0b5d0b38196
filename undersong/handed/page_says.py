"""What the head of a page of ours says of the way of playing, where another was asked for.

Public: says_otherwise.
"""

import re
from collections.abc import Mapping
from types import MappingProxyType

from solver.manners import MANNERS
from solver.righthand import right_hands
from solver.style import TEXTURES, Style
from undersong.handed.rows import cleaned

_NAMED = re.compile(r"^(Texture|Bass|Right hand) {2,}([a-z]+(?:-[a-z]+)*)(?=:|\s*$)", re.MULTILINE)

_OPTIONS: Mapping[str, str] = MappingProxyType(
    {"Texture": "--texture", "Bass": "--bass", "Right hand": "--right-hand"}
)
"""What stands at the left of the head → the option that asks for it."""


def says_otherwise(text: str, style: Style) -> tuple[str, ...]:
    """A sentence where the page names a texture, bass manner or right hand of ours that was not
    asked for; none where it has no such head."""
    known = {
        "Texture": set(TEXTURES),
        "Bass": set(MANNERS),
        "Right hand": {hand.name for hand in right_hands()},
    }
    asked = {
        "Texture": style.texture,
        "Bass": style.manner,
        "Right hand": style.right_hand.name,
    }
    plain = "\n".join(line.lstrip() for line in cleaned(text))
    told = {name: said for name, said in _NAMED.findall(plain) if said in known[name]}
    options = [
        f"{_OPTIONS[name]} {said}"
        for name, said in told.items()
        if said != asked[name] and (name == "Texture" or style.texture != "drone")
    ]
    if not options:
        return ()
    return (f"the page says that it was made with {' '.join(options)}; write that to have it so",)
