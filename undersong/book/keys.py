"""Under which keys what was made is kept: for as long as nothing has changed that it depends on.

Most results are the same however long anybody waits and wherever in its file a tune stands. Those
in which a limit of time or a line's number shows have these in their keys besides.

Public: Keys.
"""

from undersong.book.fingerprint import fingerprint
from undersong.book.one_tune import Made, Told
from undersong.book.settings import Asking, Settings
from undersong.book.source import Source


class Keys:
    """settings: the book's; program: its fingerprint."""

    def __init__(self, settings: Settings, program: str) -> None:
        self.settings = settings
        self._each = {
            asking.name: fingerprint(
                program, asking, settings.instrument, settings.hand, settings.usual_ceiling,
                settings.weights, settings.wishes, settings.chords, settings.transpose,
                settings.mends,
            )
            for asking in settings.askings
        }  # fmt: skip
        self._look = fingerprint(program, settings.look)

    def for_asking(self, source: Source, asking: Asking) -> tuple[str, ...]:
        """The keys under which what became of that asking may be kept."""
        key = self._asking(source, asking.name)
        return key, self._timed(key)

    def for_tune(self, source: Source) -> tuple[str, ...]:
        """The keys under which all of the tune may be kept."""
        key = self._tune(source)
        timed = self._timed(key)
        return key, timed, self._placed(key, source), self._placed(timed, source)

    def of_asking(self, source: Source, told: Told) -> str:
        """The key to keep it under."""
        key = self._asking(source, told.name)
        return self._timed(key) if told.timed else key

    def of_tune(self, source: Source, made: Made) -> str:
        """The key to keep it under."""
        key = self._tune(source)
        if any(told.timed for told in made.told):
            key = self._timed(key)
        return self._placed(key, source) if made.named else key

    def _asking(self, source: Source, name: str) -> str:
        return fingerprint(self._each[name], source.matters)

    def _tune(self, source: Source) -> str:
        return fingerprint(tuple(self._each.items()), self._look, source.matters)

    def _timed(self, key: str) -> str:
        return f"{key} within {self.settings.seconds:g} s"

    def _placed(self, key: str, source: Source) -> str:
        return f"{key} from line {source.line}"
