"""The compressed form of MusicXML: a zip archive with a container that names the score.

Sizes in a zip's headers can lie and 300 kB can unpack to 300 MB, so the archive's members are
counted before it is opened, the declared sizes are added up, and each member is read with one
byte more than is allowed, which shows a liar. Only stored and deflated members are read, and
nothing is ever written to disc. Source: the MusicXML 4.0 specification, "Compressed .MXL files".

Public: read_mxl, unpack.
"""

import io
import zipfile
import zlib
from xml.etree.ElementTree import Element, ParseError

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import fromstring

from tune.errors import Place, TuneError
from tune.readers.musicxml.tree import MOST_BYTES
from tune.tune import Tune

MOST_ARCHIVE = 8_000_000
"""Bytes of the archive itself."""
MOST_MEMBERS = 256
MOST_DECLARED = 64_000_000
"""Bytes that all members together may say they hold."""
MOST_RATIO = 200
"""Times that a member above ``RATIO_FROM`` bytes may grow; real scores grow 10 to 60 times."""
RATIO_FROM = 1_000_000
MOST_CONTAINER = 64_000

_CONTAINER = "META-INF/container.xml"
_MUSIC_TYPES = ("", "application/vnd.recordare.musicxml+xml")
_DAMAGE = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    OSError,
    RuntimeError,  # an encrypted member
    NotImplementedError,
    ValueError,
    OverflowError,
    LookupError,
)


def read_mxl(data: bytes, file: str = "", choose: str | None = None) -> Tune:
    """The tune in an ``.mxl`` archive; ``choose`` is a part's number, name or id."""
    from tune.readers.musicxml import read_musicxml

    return read_musicxml(unpack(data, file), file, choose)


def unpack(data: bytes, file: str = "") -> bytes:
    """The bytes of the score inside an ``.mxl`` archive; TuneError when it cannot be trusted."""
    place = Place(file)
    too_big = TuneError("the .mxl archive is too large for a tune; save one song alone", place)
    if len(data) > MOST_ARCHIVE or data.count(b"PK\x01\x02") > MOST_MEMBERS:
        raise too_big
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members = archive.infolist()
            if len(members) > MOST_MEMBERS or sum(m.file_size for m in members) > MOST_DECLARED:
                raise too_big
            return _member(archive, _score_name(archive), MOST_BYTES)
    except TuneError as error:
        raise error.at(place) from None
    except _DAMAGE:
        raise TuneError(
            "the .mxl archive is damaged or no zip archive; save it again, or as .musicxml", place
        ) from None


def _score_name(archive: zipfile.ZipFile) -> str:
    """The member that the container names, or else the first that looks like a score."""
    names = archive.namelist()
    if _CONTAINER in names:
        for entry in _container(archive).iter("rootfile"):
            if entry.get("media-type", "") in _MUSIC_TYPES and entry.get("full-path") in names:
                return str(entry.get("full-path"))
    for name in names:
        if name.endswith((".musicxml", ".xml")) and not name.startswith("META-INF/"):
            return name
    raise TuneError("the .mxl archive holds no score; save it again, or as .musicxml")


def _container(archive: zipfile.ZipFile) -> Element:
    try:
        root: Element = fromstring(_member(archive, _CONTAINER, MOST_CONTAINER))
    except (ParseError, DefusedXmlException, ValueError, LookupError) as error:
        if isinstance(error, TuneError):
            raise
        raise TuneError(
            f"the archive's {_CONTAINER} cannot be read; save it again, or as .musicxml"
        ) from None
    return root


def _member(archive: zipfile.ZipFile, name: str, most: int) -> bytes:
    """One member's bytes, never more than ``most`` whatever its header says."""
    info = archive.getinfo(name)
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise TuneError(
            "the .mxl archive is packed in a way that the format does not allow; save it again"
        )
    with archive.open(info) as stream:
        data = stream.read(most + 1)
    grown = len(data) > RATIO_FROM and len(data) > MOST_RATIO * max(1, info.compress_size)
    if len(data) > most or grown:
        raise TuneError("the .mxl archive unpacks to far more than a tune; it was not read")
    return data
