"""Reading a tune from a file or from standard input, whatever form it is in.

A new reader is one new file with a function and one row in ``FORMS``. Readers are imported where
they are used, so that a plain chart costs no XML parser.

Public: read, read_data, sniff, FORMS, Form.
"""

import codecs
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib import import_module
from pathlib import PurePath
from types import MappingProxyType

from tune.errors import Place, TuneError
from tune.tune import Tune


@dataclass(frozen=True)
class Form:
    """One form of file: its suffixes, and its reader.

    function takes (data, file name, choose) and gives a Tune; text: whether it wants its data
    decoded to a string.
    """

    suffixes: tuple[str, ...]
    module: str
    function: str
    text: bool


FORMS: MappingProxyType[str, Form] = MappingProxyType(
    {
        "abc": Form((".abc",), "tune.readers.abc", "read_abc", True),
        "musicxml": Form((".musicxml", ".xml"), "tune.readers.musicxml", "read_musicxml", False),
        "mxl": Form((".mxl",), "tune.readers.musicxml.mxl", "read_mxl", False),
        "chart": Form((".chart", ".txt"), "tune.readers.chart", "read_chart", True),
    }
)
"""Each form by the name that ``read`` takes for it."""


def read(path: str, choose: str | None = None, form: str | None = None) -> Tune:
    """The tune in the file ``path``, or on standard input for ``-``.

    choose: which tune (ABC: number or title) or which part (MusicXML: number, name or id);
    form: a name out of ``FORMS``, else the suffix decides, and on standard input the text itself.
    Raises TuneError with the file's name and place.
    """
    from tune.readers.source import read_bytes

    if form is not None and form not in FORMS:
        raise TuneError(f"there is no form {form!r}; choose one of {', '.join(FORMS)}")
    if form is None and path != "-":
        form = _by_suffix(path)
    data = read_bytes(path)
    return read_data(data, "standard input" if path == "-" else path, choose, form)


def read_data(data: bytes, name: str, choose: str | None = None, form: str | None = None) -> Tune:
    """The tune in a file's bytes; name: what messages call it, and no file is looked for.

    form: a name out of ``FORMS``, else the name's suffix decides, and for none that is known the
    bytes themselves. Otherwise as ``read``.
    """
    from tune.readers.source import as_text

    row = FORMS[form or _suffix_form(name) or sniff(data)]
    reader: Callable[..., Tune] = getattr(import_module(row.module), row.function)
    try:
        if not row.text:
            return reader(data, name, choose)
        text, notices = as_text(data, name)
        tune = reader(text, name, choose)
        return replace(tune, notices=notices + tune.notices) if notices else tune
    except TuneError as error:
        raise error.at(Place(name)) from None


def sniff(data: bytes) -> str:
    """The form that bytes are in, by how they begin: a name out of ``FORMS``."""
    if data.startswith(b"PK"):
        return "mxl"
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        data = data[2:].replace(b"\0", b"")
    data = data.removeprefix(codecs.BOM_UTF8).lstrip()
    if data.startswith(b"<"):
        return "musicxml"
    return "abc" if re.search(rb"(?m)^X:", data) else "chart"


def _by_suffix(path: str) -> str:
    form = _suffix_form(path)
    if form is None:
        known = ", ".join(suffix for form in FORMS.values() for suffix in form.suffixes)
        raise TuneError(
            f"a tune's file ends in one of {known}; rename it or say its form", Place(path)
        )
    return form


def _suffix_form(name: str) -> str | None:
    """The form that a file's name tells; None where it tells none."""
    suffix = PurePath(name).suffix.lower()
    return next((name for name, form in FORMS.items() if suffix in form.suffixes), None)
