"""The engraving library: MEI in, one SVG a line out. Nothing is fetched, nothing is random.

Public: engraved_lines.
"""

from typing import Any

from undersong.sheet.errors import SheetError

_WIDEST = 100_000
"""The widest page that the library takes, in its pixels (a tenth of a mm here)."""

_PLAIN: dict[str, object] = {
    "scale": 100,
    "header": "none",
    "footer": "none",
    "svgViewBox": True,
    "adjustPageHeight": True,
    "smuflTextFont": "none",
    "xmlIdSeed": 1,
    "pageMarginLeft": 0,
    "pageMarginRight": 0,
    "pageMarginTop": 0,
    "pageMarginBottom": 0,
    "pageHeight": 20_000,
    "mnumInterval": 0,
    "lyricTopMinMargin": 3.0,
    "lyricVerseCollapse": True,
    "spacingLinear": 0.16,
    "spacingNonLinear": 0.5,
}


def engraved_lines(
    mei: str, width: float | None, lyric: float = 4.2, last: float | None = None
) -> tuple[str, ...]:
    """The document's lines, one SVG each: as wide as ``width`` (mm, before anything is enlarged),
    or one endless line in its natural width for None. lyric: height of the words' type; last: mm
    of the last line, where it is to be shorter (it stays as it is where the library would break
    it there)."""
    from pathlib import Path

    import verovio

    verovio.enableLog(verovio.LOG_OFF)
    # where its fonts lie is told thread by thread (measured with verovio 6.4)
    verovio.setDefaultResourcePath(str(Path(verovio.__file__).parent / "data"))
    toolkit: Any = verovio.toolkit()
    options = _PLAIN | {"lyricSize": lyric}
    if width is None:
        options |= {"breaks": "none", "adjustPageWidth": True, "pageWidth": _WIDEST}
    else:
        options |= {
            "breaks": "encoded",
            "pageWidth": round(10 * width),
            "minLastJustification": 0,
        }
    toolkit.setOptions(options)
    if not toolkit.loadData(mei):
        raise SheetError("the engraving library cannot read the page (please report it)")
    count = toolkit.getPageCount()
    lines = [toolkit.renderToSVG(page) for page in range(1, count + 1)]
    if last is not None:
        toolkit.setOptions({"pageWidth": round(10 * last)})
        toolkit.redoLayout()
        shorter = toolkit.renderToSVG(count)
        if toolkit.getPageCount() == count and shorter.count('class="system"') == 1:
            lines[-1] = shorter
    return tuple(lines)
