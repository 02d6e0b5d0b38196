"""What a reader passed over, told once for each kind of thing.

Public: Notices.
"""


class Notices:
    """A growing list of sentences; the first bar in which a thing occurs stands before it."""

    def __init__(self) -> None:
        self._first: dict[str, int | None] = {}
        self._times: dict[str, int] = {}

    def add(self, what: str, bar: int | None = None) -> None:
        """Remember ``what`` (such as ``trill mark ignored``), seen in ``bar``."""
        self._first.setdefault(what, bar)
        self._times[what] = self._times.get(what, 0) + 1

    def told(self) -> tuple[str, ...]:
        """One sentence for each, in the order in which they were first seen."""
        return tuple(
            (f"bar {bar}: {what}" if bar is not None else what)
            + (f" ({self._times[what]} in all)" if self._times[what] > 1 else "")
            for what, bar in self._first.items()
        )
