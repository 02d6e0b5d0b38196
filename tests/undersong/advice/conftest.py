"""A set for an evening, put in order once for each file of tests."""

import pytest

from tests.undersong.advice.evenings import D_A_A, D_A_D, D_G_D, on, set_of
from undersong.advice.sets import TuneSet, make_set


@pytest.fixture(scope="module")
def evening(tmp_path_factory: pytest.TempPathFactory) -> TuneSet:
    """Four tunes, some in either of two tunings, one medley, sat down to in D-A-A."""
    return make_set(
        set_of(
            tmp_path_factory.mktemp("tunes"),
            ("gate", (D_A_D, D_A_A), "m"),
            ("coats", (D_A_D, D_G_D), ""),
            ("urn", (D_A_D, on("D-A-d", 1)), ""),
            ("door", (D_A_A, D_A_D), "m"),
            start=D_A_A,
        )
    )
