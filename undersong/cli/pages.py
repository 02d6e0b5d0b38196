"""Pages of several arrangements in one folder, whose kinds are asked for by their suffixes.

Public: Pages.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from undersong.cli.endings import Refused, naming
from undersong.cli.output import options_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from solver.result import Arrangement
    from undersong.cli.asked import Asked


class Pages:
    """Where pages go; everything that can be known to fail is refused when it is made."""

    def __init__(
        self, asked: Asked, folder: str | None, kinds: Sequence[str], usual: Sequence[str]
    ) -> None:
        from undersong.sheet.write import FORMATS

        self.asked, self.name = asked, folder
        named = [_suffix(kind) for kind in kinds]
        self.suffixes = named or list(usual)
        for kind, suffix in zip(kinds, named, strict=True):
            if suffix not in FORMATS:
                known = ", ".join(FORMATS)
                raise Refused(f"--as: there are no pages of the kind {kind!r}; choose {known}")
            if named.count(suffix) > 1:
                raise Refused(f"--as {kind}: this is asked for twice; ask once")
        if folder is None:
            if kinds:
                raise Refused("--as: no pages are written without --to FOLDER; name the folder")
            return
        try:
            if folder.strip() in ("", "-"):
                raise Refused("--to: name a folder; the list stands on standard output anyway")
            if Path(folder).exists() and not Path(folder).is_dir():
                raise Refused(f"--to {folder}: this is a file; name a folder")
            if not Path(folder).parent.is_dir():
                raise Refused(
                    f"--to {folder}: there is no folder {Path(folder).parent}; make it first"
                )
        except (OSError, ValueError) as error:
            why = error.strerror if isinstance(error, OSError) else error
            raise Refused(f"--to {folder}: no folder can have that name ({why})") from None

    def put(self, arrangement: Arrangement, name: str) -> None:
        """Writes the arrangement's pages, under that name without a suffix; nothing where no folder
        was named."""
        if self.name is None:
            return
        from undersong.sheet.write import write

        folder = Path(self.name)
        try:
            folder.mkdir(exist_ok=True)
        except OSError as error:
            why = error.strerror
            raise Refused(f"--to {folder}: the folder cannot be made ({why})") from None
        for suffix in self.suffixes:
            with naming("--to"):
                write(
                    arrangement,
                    folder / f"{name}{suffix}",
                    options_of(self.asked),
                )

    def after_the_tune(self, arrangement: Arrangement, name: str) -> str:
        """``name`` after the tune's own."""
        return f"{self._stem(arrangement.tune.title)}-{name}"

    def _stem(self, title: str) -> str:
        """The tune's file name without its suffix; from its title where it was piped in."""
        if self.asked.tune != "-":
            return Path(self.asked.tune).stem
        words = re.findall(r"[a-z0-9]+", title.casefold().replace("'", ""))
        return "-".join(words)[:60] or "tune"


def _suffix(kind: str) -> str:
    return "." + kind.strip().lower().removeprefix(".")
