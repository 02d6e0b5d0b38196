"""What can go wrong on the way to an arrangement.

ArrangeError            everything below; one sentence
├── StyleError          a manner, right hand or setting that cannot be
├── ConditionError      a condition or pin that cannot be
├── Unfulfillable       conditions that no arrangement holds, proven; an answer, not a fault
├── NotFound            none was found that holds them, though there may be one
└── NotPlayable         a bar that no hand can play as asked; an answer, not a fault

Public: all of them.
"""


class ArrangeError(ValueError):
    """The tune cannot be arranged as asked; the message is one sentence."""


class StyleError(ArrangeError):
    """A setting that cannot be; the message names it and the mend."""


class ConditionError(ArrangeError):
    """A condition that cannot be; the message names it and the mend."""


class Unfulfillable(ArrangeError):  # noqa: N818  the word that it is
    """Conditions over the whole tune that no arrangement holds."""


class NotFound(ArrangeError):  # noqa: N818
    """No arrangement was found that holds the conditions, and no proof that there is none."""


class NotPlayable(ArrangeError):  # noqa: N818  the word a player would use
    """A chord that cannot be played as asked.

    bar: which of ``tune.played`` it is, from 1 (the message has the number as printed); chord:
    its symbol, empty for a rest; what: of ``chord``, ``melody`` and ``step`` (from what comes
    before) what stands in the way.
    """

    def __init__(self, message: str, bar: int, chord: str, what: str = "chord") -> None:
        super().__init__(message)
        self.bar = bar
        self.chord = chord
        self.what = what
