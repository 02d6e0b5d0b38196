"""An ABC file's tunes as texts of their own, so that one more tune leaves all others as they are.

Public: parted.
"""

import re
from collections.abc import Iterator
from pathlib import PurePath

from tune.readers.abc.file import chosen_tune, split_file
from tune.readers.source import as_text
from undersong.book.source import MOST_LETTERS, Source
from undersong.file_names import plain_name

_NEWLINE = re.compile(r"\r\n|\r|\n")


def parted(data: bytes, shown: str, choose: str | None = None) -> Iterator[Source]:
    """Every tune of the file in its order, or the chosen one; shown: what the file is called.

    Raises TuneError where there is none.
    """
    text, _ = as_text(data, shown)
    found = split_file(text)
    stem = PurePath(shown).with_suffix("")
    tunes = found.tunes
    starts = [tune.lines[0].number for tune in tunes]
    wanted = tunes if choose is None else (chosen_tune(tunes, choose, shown),)
    if len(tunes) == 1:
        yield Source(plain_name(str(stem), MOST_LETTERS), tunes[0].title, shown, shown, "abc", data)
        return
    lines = _NEWLINE.split(text.removeprefix("\ufeff"))
    head = "".join(f"{line}\n" for line in lines[: starts[0] - 1])
    for index, tune in enumerate(tunes):
        if not any(tune is one for one in wanted):
            continue
        end = starts[index + 1] - 1 if index + 1 < len(tunes) else len(lines)
        own = "\n".join(lines[starts[index] - 1 : end]).rstrip() + "\n"
        name = plain_name(f"{stem} {tune.number} {tune.title}", MOST_LETTERS)
        yield Source(
            name, tune.title, f"{shown}, tune {tune.number}", shown, "abc",
            own.encode(), head.encode(), starts[index],
        )  # fmt: skip
