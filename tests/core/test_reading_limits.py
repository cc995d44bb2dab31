"""A reading is refused with the limits of its parameter, whichever end it misses."""

import pytest

from tankkeeper.core.errors import UserFault
from tankkeeper.core.parameters import parse_reading
from tankkeeper.reports.faults import fault_words


@pytest.mark.parametrize(
    ("name", "text", "sentence"),
    [
        ("ammonia", "-1", "Ammonia −1 mg/L is not possible. It can be from 0 to 50 mg/L."),
        ("ammonia", "5000", "Ammonia 5000 mg/L is not possible. It can be from 0 to 50 mg/L."),
        ("ammonia", "9e5", None),
        (
            "calcium",
            "99999",
            "Calcium 99999 mg/L is not possible. It can be from 0 to 2000 mg/L.",
        ),
        ("alkalinity", "-2", "Alkalinity −2 dKH is not possible. It can be from 0 to 50 dKH."),
    ],
)
def test_both_ends_are_those_of_the_parameter(name: str, text: str, sentence: str | None) -> None:
    """Below zero and above the most alike, in the unit that was typed."""
    with pytest.raises(UserFault) as refused:
        parse_reading(name, text)
    if sentence is None:
        assert refused.value.code == "number_with_exponent"
        return
    told = fault_words(refused.value).replace("\u00a0", " ").replace("\u2060", "")
    assert told == sentence


def test_the_limits_are_told_in_the_unit_that_was_typed() -> None:
    """50 dKH are 17.83 meq/L: a German degree is 0.35663 meq/L (DIN 38409-6, from memory)."""
    with pytest.raises(UserFault) as refused:
        parse_reading("alkalinity", "30 meq/L")
    assert refused.value.values["unit"] == "meq/L"
    assert refused.value.values["high"] == pytest.approx(17.85, abs=0.05)
