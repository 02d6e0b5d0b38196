"""The bundled tunes, by name: data only, composed for this project (see README.md beside it).

A name is a file's name without its suffix, such as ``lantern-path``; the whole file name is
understood too.

Public: names, path, SUFFIXES.
"""

from pathlib import Path

SUFFIXES = (".abc", ".musicxml", ".chart")


def names() -> tuple[str, ...]:
    """The names of the bundled tunes, in alphabetical order."""
    return tuple(sorted(file.stem for file in _files()))


def path(name: str) -> Path:
    """Where the bundled tune of that name lies.

    Raises ValueError, one sentence with the nearest names, where there is none.
    """
    for file in _files():
        if name in (file.stem, file.name):
            return file
    raise ValueError(_unknown(name))


def _files() -> list[Path]:
    from importlib.resources import files  # here, so that importing the package costs nothing

    folder = Path(str(files(__name__)))
    return [file for file in folder.iterdir() if file.suffix in SUFFIXES]


def _unknown(name: str) -> str:
    from difflib import get_close_matches

    known = names()
    stem = name.lower().replace(" ", "-").replace("_", "-")
    near = get_close_matches(stem, known, n=3, cutoff=0.5)
    near += [other for other in known if stem and stem in other and other not in near]
    if near:
        return f"there is no bundled tune {name!r}; did you mean {' or '.join(near)}?"
    return f"there is no bundled tune {name!r}; write one of {', '.join(known)}"
