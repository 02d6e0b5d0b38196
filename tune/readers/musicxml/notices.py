"""What a reader passed over, told once for each kind of thing.

Public: Notices.
"""

MOST_KINDS = 60
LONGEST = 120


class Notices:
    """At most ``MOST_KINDS`` sentences and one for all the rest.

    The first bar in which a thing occurs stands before it.
    """

    def __init__(self) -> None:
        self._first: dict[str, int | None] = {}
        self._times: dict[str, int] = {}

    def add(self, what: str, bar: int | None = None) -> None:
        """Remember ``what`` (such as ``trill mark ignored``), seen in ``bar``."""
        what = what if len(what) <= LONGEST else what[: LONGEST - 3] + "..."
        if what not in self._first and len(self._first) >= MOST_KINDS:
            what, bar = "other things ignored", None
        self._first.setdefault(what, bar)
        self._times[what] = self._times.get(what, 0) + 1

    def told(self) -> tuple[str, ...]:
        """One sentence for each, in the order in which they were first seen."""
        return tuple(
            (f"bar {bar}: {what}" if bar is not None else what)
            + (f" ({self._times[what]} in all)" if self._times[what] > 1 else "")
            for what, bar in self._first.items()
        )
