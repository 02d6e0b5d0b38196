"""A first answer is looked for only as long as there is time."""

import numpy as np
import pytest

from solver import first_answer as looking
from solver.conditions import Conditions
from solver.conditions.few_shapes import FewShapes
from solver.constraints.few_shapes import FewShapesFamily
from solver.first_answer import first_answer
from solver.slopes import FEES, spread_prices
from solver.ways import Prices
from tests.solver.bundled import laid_out, question_of
from tests.solver.made import case_of


def test_it_ends_when_the_time_does(monkeypatch: pytest.MonkeyPatch) -> None:
    question = question_of(case_of("D", "Bm"), Conditions(shapes=FewShapes(3)))
    ways, families = laid_out(question)
    (family,) = families
    assert isinstance(family, FewShapesFamily)
    asked: list[bool] = []

    def never() -> bool:
        asked.append(True)
        return False

    assert spread_prices(question, family) is not None
    assert spread_prices(question, family, never) is None
    assert len(asked) == 1 < len(FEES)

    prices = Prices.none(ways)
    way = ways.cheapest(prices, ways.onward(prices))[1]
    values = [np.zeros(family.size, np.int64)]
    thinned: list[bool] = []
    monkeypatch.setattr(looking, "thinned", lambda *_: thinned.append(True))
    first_answer(question, families, values, way)
    first_answer(question, families, values, way, never)
    assert len(thinned) == 1, "only where there was time"
