"""What the values of options may be: each complaint is one sentence with the mend.

Public: Whole, Seconds, Fret, Weight.
"""

import math

import click

Param = click.Parameter | None
Context = click.Context | None


def _refused(param: Param, sentence: str) -> "click.ClickException":
    from undersong.cli.endings import Refused

    name = param.opts[-1] if param is not None else "the value"
    return Refused(f"{name}: {sentence}")


class Whole(click.ParamType):
    """A whole number within limits; what: what it counts, for the complaint."""

    name = "n"

    def __init__(self, low: int, high: int, what: str) -> None:
        self.low, self.high, self.what = low, high, what

    def convert(self, value: object, param: Param, ctx: Context) -> int:
        text = str(value).strip()
        try:
            number = int(text)
        except ValueError:
            number = self.low - 1
        if not self.low <= number <= self.high:
            raise _refused(
                param,
                f"write a whole number of {self.what} from {self.low} to {self.high}, not {text!r}",
            )
        return number


class Seconds(click.ParamType):
    """A time in seconds, more than nothing and at most a day."""

    name = "seconds"

    def convert(self, value: object, param: Param, ctx: Context) -> float:
        text = str(value).strip()
        try:
            number = float(text)
        except ValueError:
            number = math.nan
        if not 0 < number <= 86_400:
            raise _refused(param, f"write a time in seconds such as 10 or 0.5, not {text!r}")
        return number


class Fret(click.ParamType):
    """A printed fret number (``6+``), given as semitones above the nut."""

    name = "fret"

    def convert(self, value: object, param: Param, ctx: Context) -> int:
        from fretboard.errors import FretboardError
        from fretboard.frets import fret_semitones

        if isinstance(value, int):
            return value
        try:
            return fret_semitones(str(value))
        except FretboardError as error:
            raise _refused(param, str(error)) from None


class Weight(click.ParamType):
    """``NAME=MS``: a weight's name and its price in whole ms."""

    name = "name=ms"

    def convert(self, value: object, param: Param, ctx: Context) -> tuple[str, int]:
        if isinstance(value, tuple):
            return value
        name, equals, price = (part.strip() for part in str(value).partition("="))
        if not equals or not name:
            raise _refused(param, f"write it such as high-bass=20, not {str(value)!r}")
        try:
            return name, int(price)
        except ValueError:
            raise _refused(
                param, f"the price of {name} must be a whole number of ms, not {price!r}"
            ) from None
