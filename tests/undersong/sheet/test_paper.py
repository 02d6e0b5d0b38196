"""Paper: the sizes are those of the standards, and margins are such as a printer keeps."""

import pytest

from undersong.sheet.errors import SheetError
from undersong.sheet.paper import Paper, paper


def test_sizes_are_those_of_the_standards() -> None:
    assert (paper().width_mm, paper().height_mm) == (210, 297)  # ISO 216
    letter = paper("Letter")
    assert (letter.width_mm, letter.height_mm) == pytest.approx((8.5 * 25.4, 11 * 25.4))


def test_a_sheet_on_its_side_is_wider_than_high() -> None:
    sheet = paper("a4", landscape=True)
    assert (sheet.width_mm, sheet.height_mm) == (297, 210)
    assert sheet.room_mm == (273, 186)


def test_an_unknown_paper_and_a_margin_that_no_printer_keeps_are_refused() -> None:
    with pytest.raises(SheetError, match="no paper 'a5'; choose a4 or letter"):
        paper("a5")
    with pytest.raises(SheetError, match="a margin of 3 mm"):
        Paper("a4", 210, 297, 3)
    with pytest.raises(SheetError, match="a margin of 60 mm"):
        Paper("a4", 210, 297, 60)
    with pytest.raises(SheetError, match="100 to 1000 mm"):
        Paper("stamp", 20, 30, 6)
