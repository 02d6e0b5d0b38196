"""What can go wrong with music that is read in.

``TuneError`` carries the place, so that the player can mend it: the file, the line and column
where the reader knows them, the bar where it does not, and one sentence that says what to write
instead.

Public: TuneError, UnchosenTuneError, Place.
"""

from dataclasses import dataclass

from tune.bar_names import bar_name


@dataclass(frozen=True)
class Place:
    """Where in a file something stands; what is not known is left out."""

    file: str = ""
    line: int | None = None
    column: int | None = None
    bar: int | None = None

    def __str__(self) -> str:
        parts = [
            self.file,
            f"line {self.line}" if self.line is not None else "",
            bar_name(self.bar) if self.bar is not None else "",
            f"column {self.column}" if self.column is not None else "",
        ]
        return ", ".join(part for part in parts if part)


class TuneError(ValueError):
    """Music that cannot be used, in one sentence with its place.

    Arguments: message (one sentence, with the mend), place.
    """

    def __init__(self, message: str, place: Place | None = None) -> None:
        self.message = message
        self.place = place or Place()
        where = str(self.place)
        super().__init__(f"{where}: {message}" if where else message)

    def at(self, place: Place) -> "TuneError":
        """The same complaint with a place: known parts of ``place`` fill what is missing here."""
        mine = self.place
        return TuneError(
            self.message,
            Place(
                mine.file or place.file,
                mine.line if mine.line is not None else place.line,
                mine.column if mine.column is not None else place.column,
                mine.bar if mine.bar is not None else place.bar,
            ),
        )


class UnchosenTuneError(TuneError):
    """A file of several tunes of which none was chosen, or none that it has: another choice mends
    it."""

    def at(self, place: Place) -> "UnchosenTuneError":
        return UnchosenTuneError(self.message, super().at(place).place)
