"""A practice plan: the hardest changes first, each a loop of two bars, slow to fast, with rests.

``practice_pages`` gives the plan of an arrangement as drawn pages, ``practice_pdf`` as a PDF;
``practice_text`` is in ``text``, what to play along with in ``sound``. What is drawn is imported
where it is used.

Public: plan_for, practice_pages, practice_pdf, Plan, Spot, Rung, Wishes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from undersong.practice.ladder import Rung
from undersong.practice.plan import Plan, Spot, plan_for
from undersong.practice.wishes import Wishes

if TYPE_CHECKING:
    from solver.result import Arrangement
    from undersong.practice.pages import PageLook
    from undersong.sheet.flow import Leaf

__all__ = ["Plan", "Rung", "Spot", "Wishes", "plan_for", "practice_pages", "practice_pdf"]


def practice_pages(
    arrangement: Arrangement, look: PageLook | None = None, wishes: Wishes | None = None
) -> tuple[Leaf, ...]:
    """The plan's pages: each with its SVG and the titles that begin on it (to bookmark).

    Raises SheetError, one sentence, where there is nothing to practise.
    """
    from undersong.practice.pages import PageLook, practice_leaves

    return practice_leaves(plan_for(arrangement, wishes), look or PageLook())


def practice_pdf(plan: Plan, look: PageLook | None = None) -> bytes:
    """The plan's pages as PDF; SheetError where the system lacks what it is drawn with."""
    from undersong.practice.pages import PageLook, practice_leaves
    from undersong.practice.words import TITLE
    from undersong.sheet.pdf import Bookmark, pdf_of

    pages = practice_leaves(plan, look or PageLook())
    marks = [Bookmark(title, at) for at, page in enumerate(pages) for title in page.titles]
    tune = plan.arrangement.tune
    return pdf_of(
        [page.svg for page in pages],
        title=f"{tune.title}: {TITLE.lower()}",
        bookmarks=marks,
        author=tune.composer,
    )
