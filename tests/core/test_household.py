"""What a household knows by its ids."""

from __future__ import annotations

import pytest

from tankkeeper.core.errors import UserFault
from tests.builders import a_box, a_household


def test_a_tank_that_there_is_not_is_refused_by_its_id() -> None:
    """It may have been taken back in another window; the one beside it is found as before."""
    household = a_household(tanks=(a_box("Reef", id="reef"),))

    assert household.tank("reef").id == "reef"
    with pytest.raises(UserFault) as gone:
        household.tank("nook")
    assert (gone.value.code, gone.value.values) == ("no_such_tank", {"tank": "nook"})
