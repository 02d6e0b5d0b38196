"""Tabs as they come in when something went wrong on the way: rows lost or exchanged, bars cut out,
blanks for dashes, wrong frets, signs of other programs.

Public: mangled, GOOD_TABS.
"""

from random import Random

GOOD_TABS = (
    "D  |-0---4---|-3---0---|-4---1---|-0---0---|\n"
    "A  |---0---0-|---1---1-|---2---2-|---0---0-|\n"
    "d  |---2---2-|---0---0-|---3---3-|---2---2-|\n",
    "Harrow Lane Round\n\n   1 . 2 . 3 . 4 .   1 . 2 . 3 . 4 .\n"
    "   D                 G\n"
    "D3|-0-------4-------|-3-------0-------|\nA3|-----0-------0---|-----1-------1---|\n"
    "D4|-----2-------2---|-----0-------0---|\n",
    "| D     | G     | A7    | D     |\n| 0-0-2 | 3-1-0 | 4-2-3 | 0-0-2 |\n",
    "D     G     A7    D\n0-0-2 3-1-0 4-2-3 0-0-2\n",
    "|:-0-4-|-3-0-:|\n|:---0-|---1-:|\n|:---2-|---0-:|\n",
    "0 | 3 | 4 | 0\n",
)
_STRANGE = ("½", "6½", "99", "x", "|", ":|", "|:", "h", "/", "~", "\t", "\u00a0", "é", "\u2014",
            "(", "7", "6+", "6.5", "0+", "", "TIM", "1 + 2 +", "bass", "d", "\u0000",
            "-" * 40)  # fmt: skip


def mangled(chance: Random) -> str:
    """A tab with one to six things gone wrong."""
    text = chance.choice(GOOD_TABS)
    for _ in range(chance.randint(1, 6)):
        text = chance.choice(_WAYS)(text, chance) or " "
    return text


def _rows(text: str, chance: Random) -> str:
    """Rows lost, doubled, exchanged or parted."""
    lines = text.split("\n")
    at, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    way = chance.randrange(5)
    if way == 0:
        del lines[at]
    elif way == 1:
        lines.insert(at, lines[other])
    elif way == 2:
        lines[at], lines[other] = lines[other], lines[at]
    elif way == 3:
        lines.insert(at, "")
    else:
        lines.reverse()
    return "\n".join(lines)


def _cut(text: str, chance: Random) -> str:
    """A stretch of columns cut out of every line, or of one."""
    lines = text.split("\n")
    start = chance.randrange(40)
    end = start + chance.randint(1, 12)
    only = chance.randrange(len(lines)) if chance.random() < 0.4 else None
    return "\n".join(
        line[:start] + line[end:] if only in (None, at) else line for at, line in enumerate(lines)
    )


def _signs(text: str, chance: Random) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] + chance.choice(_STRANGE) + text[at + chance.randrange(3) :]


def _other_dashes(text: str, chance: Random) -> str:
    return text.replace("-", chance.choice((" ", "=", "_", ".", "\u2013", "--")))


def _frets(text: str, chance: Random) -> str:
    """Every number another."""
    return "".join(
        str(chance.randrange(10)) if sign.isdigit() and chance.random() < 0.5 else sign
        for sign in text
    )


def _more(text: str, chance: Random) -> str:
    return text + chance.choice(("\n", "\n\n")) + chance.choice(GOOD_TABS)


_WAYS = (_rows, _cut, _signs, _other_dashes, _frets, _more)
