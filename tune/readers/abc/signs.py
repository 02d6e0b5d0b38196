"""Signs over ABC's music that wait for the note they stand before: chords and decorations.

Public: Signs.
"""

import re

from tune.readers.abc.draft import Draft, Event, Spot, fail
from tune.readers.abc.marks import (
    SHORTHANDS,
    is_decoration,
    mark_of,
    mark_of_words,
    ornament_name,
)

_NO_SIGN = ("nil", "none")
_FINGERS = tuple("012345")
_PLACED = ("^", "_", "<", ">", "@")


class Signs:
    """What waits for the next note; kept marks are kept, all others told to the draft."""

    def __init__(self, draft: Draft) -> None:
        self.draft = draft
        self.shorthands = dict(SHORTHANDS)
        self.marks: list[str] = []
        self.chord: str | None = None
        self.chord_spot: Spot | None = None

    def give(self, event: Event) -> None:
        """Hand what waits to the note or rest that has come."""
        event.marks.extend(self.marks)
        event.chord, event.chord_spot = self.chord, self.chord_spot
        self.marks, self.chord, self.chord_spot = [], None, None

    def end_bar(self) -> None:
        """Marks cannot wait over a bar line, which they then stand above; a chord can."""
        if self.marks:
            self.draft.tell(len(self.draft.bars), "signs over a bar line are ignored", "bar sign")
            self.marks = []

    def end_tune(self) -> None:
        """TuneError for a chord that no note came for."""
        if self.chord is not None and self.chord_spot is not None:
            fail(
                f'"{self.chord}" has no note or rest after it (words that are no chord are '
                f'written "^{self.chord}")',
                self.chord_spot,
            )

    def quoted(self, text: str, spot: Spot) -> None:
        """What stands in quotation marks: words with a place sign, a finger, or else a chord."""
        words = text[1:-1].strip()
        if words.startswith(_PLACED):
            self._words(words, self.marks, len(self.draft.bars))
        elif words in _FINGERS:
            self._decorate(words, self.marks, len(self.draft.bars))
        elif words and self.chord is not None:
            fail(
                f'two chords, "{self.chord}" and "{words}", stand before one note; '
                "give each a note or rest of its own",
                spot,
            )
        elif words:
            self.chord, self.chord_spot = words, Spot(spot.line, spot.column + text.index(words))

    def mark(self, text: str, spot: Spot) -> None:
        """A decoration by name, ``!trill!`` or, as of old, ``+trill+``."""
        if text[0] == "+" and not is_decoration(text[1:-1]):
            fail(f"{text} is no sign; notes struck together are written [CEG]", spot)
        self.under(text, self.marks, len(self.draft.bars))

    def letter(self, text: str, spot: Spot) -> None:
        """A shorthand; of others the small letters but h (a note to some) may be strange signs."""
        if text not in self.shorthands and (text == "h" or text.isupper()):
            fail(f"the letter {text} is no note and no sign; notes are A to G", spot)
        self.under(text, self.marks, len(self.draft.bars))

    def under(self, text: str, marks: list[str], bar: int) -> None:
        """Add a decoration, annotation or shorthand, as written, to ``marks`` of that bar."""
        if len(text) > 1 and text[0] == '"':
            self._words(text[1:-1], marks, bar)
        elif len(text) > 1:
            self._decorate(text[1:-1], marks, bar)
        elif text not in self.shorthands:
            self.draft.tell(bar, f"the sign {text} has no meaning and is ignored")
        elif self.shorthands[text][0] == '"':
            self._words(self.shorthands[text][1:-1], marks, bar)
        else:
            self._decorate(self.shorthands[text], marks, bar)

    def _words(self, words: str, marks: list[str], bar: int) -> None:
        mark = mark_of_words(re.sub(r"^@[-+0-9., ]*|^[\^_<>]", "", words))
        if mark:
            marks.append(mark)
        else:
            self.draft.tell(bar, "words over or under the music are not kept", "words")

    def _decorate(self, name: str, marks: list[str], bar: int) -> None:
        mark = mark_of(name)
        if mark:
            marks.append(mark)
        elif name not in _NO_SIGN:
            kind = ornament_name(name)
            self.draft.tell(bar, f"{kind} ignored", f"mark {kind}")
