"""What can go wrong on the way to an arrangement.

ArrangeError            everything below; one sentence
├── StyleError          a manner, right hand or setting that cannot be
├── ConditionError      a condition or pin that cannot be
└── NotPlayable         a bar that no hand can play as asked; an answer, not a fault
"""


class ArrangeError(ValueError):
    """The tune cannot be arranged as asked; the message is one sentence."""


class StyleError(ArrangeError):
    """A setting that cannot be; the message names it and the mend."""


class ConditionError(ArrangeError):
    """A condition that cannot be; the message names it and the mend."""


class NotPlayable(ArrangeError):  # noqa: N818  the word a player would use
    """A chord that cannot be played as asked.

    bar: the played bar's number; chord: its symbol.
    """

    def __init__(self, message: str, bar: int, chord: str) -> None:
        super().__init__(message)
        self.bar = bar
        self.chord = chord
