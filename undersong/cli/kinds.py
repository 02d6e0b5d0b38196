"""What the values of options may be, as click callbacks: each complaint is one sentence.

Each maker gives a function of (context, parameter, text) for an option's ``callback``; text None
(the player said nothing) stays None.

Public: whole, seconds, fret, weights, octaves.
"""

from collections.abc import Callable

import click

from undersong.cli.endings import Refused


def whole(
    low: int, high: int, what: str
) -> Callable[[click.Context, click.Parameter, str | None], int | None]:
    """A whole number within limits; what: what it counts, for the complaint; nothing for a number
    that counts nothing, such as a port's."""
    counted = f" of {what}" if what else ""

    def read(_: click.Context, param: click.Parameter, text: str | None) -> int | None:
        if text is None:
            return None
        number = _number(text)
        if number is None or not low <= number <= high:
            raise Refused(
                f"{_option(param)}: write a whole number{counted} from {low} to {high}, "
                f"not {text!r}"
            )
        return number

    return read


def seconds(_: click.Context, param: click.Parameter, text: str) -> float:
    """A time in seconds, more than nothing and at most a day."""
    try:
        number = float(text)
    except ValueError:
        number = 0.0
    if not 0 < number <= 86_400:
        raise Refused(f"{_option(param)}: write a time in seconds such as 10 or 0.5, not {text!r}")
    return number


def fret(_: click.Context, param: click.Parameter, text: str | None) -> str | None:
    """A printed fret number (``6+``), as it was typed: which fret it is depends on where it is
    counted from."""
    from fretboard.errors import FretboardError
    from fretboard.frets import parts

    if text is None:
        return None
    try:
        parts(text)
    except FretboardError as error:
        raise Refused(f"{_option(param)}: {error}") from None
    return text


def weights(
    context: click.Context, param: click.Parameter, texts: tuple[str, ...], unit: str = "ms"
) -> tuple[tuple[str, int], ...]:
    """``NAME=PRICE`` each: a weight's name and its price in whole units, no name twice."""
    del context
    prices: dict[str, int] = {}
    for text in texts:
        name, equals, price = (part.strip() for part in text.partition("="))
        if not equals or not name:
            raise Refused(f"{_option(param)}: write it such as high-bass=20, not {text!r}")
        number = _number(price)
        if number is None:
            raise Refused(
                f"{_option(param)}: the price of {name} must be a whole number of {unit}, "
                f"not {price!r}"
            )
        if name in prices:
            raise Refused(f"{_option(param)}: {name} is given twice; give it once")
        prices[name] = number
    return tuple(prices.items())


def octaves(
    _: click.Context, param: click.Parameter, texts: tuple[str, ...]
) -> tuple[tuple[str, int], ...]:
    """``BARS=N`` each: which bars, and by how many octaves, -3 to 3 and not 0."""
    moves = []
    for text in texts:
        bars, equals, number = (part.strip() for part in text.partition("="))
        by = _number(number)
        if not equals or not bars or by is None or by == 0 or abs(by) > 3:
            raise Refused(
                f"{_option(param)}: write bars and 1 to 3 octaves up or down, such as 5-8=-1, "
                f"not {text!r}"
            )
        moves.append((bars, by))
    return tuple(moves)


def _number(text: str) -> int | None:
    """The whole number that ``text`` is, in plain digits; None for anything else."""
    digits = text.strip().removeprefix("-").removeprefix("+")
    if not (digits.isascii() and digits.isdigit() and len(digits) < 12):
        return None
    return int(text)


def _option(param: click.Parameter) -> str:
    return param.opts[-1]
