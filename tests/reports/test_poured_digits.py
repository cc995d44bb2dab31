"""Litres are told in gallons with the digits that a bucket shows, and are kept as they are.

A US gallon is 3.785411784 L by definition (NIST Special Publication 811, 2008, appendix B).
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.amounts import AmountDue, told_litres
from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.household import ShownUnits
from tankkeeper.core.mixing import MixedFor
from tankkeeper.core.units import US_GALLON_L
from tankkeeper.gui.models.round_rows import figures_of
from tankkeeper.reports.amount_reasons import amount_reason
from tankkeeper.reports.amount_words import about, due_amount, litres_in_all
from tankkeeper.reports.asking import more_litres
from tankkeeper.reports.documents import totals
from tankkeeper.reports.rows import amount_words
from tankkeeper.reports.words import Words
from tankkeeper.services.round import round_of
from tests.builders import a_household, a_moment
from tests.reports.scenes import NB, TODAY, change, chore, item, state, words_for

GALLONS = ShownUnits("US gal", "degF")


def words(units: ShownUnits = GALLONS) -> Words:
    return Words(a_household(units=units), a_moment("2026-03-12"))


@pytest.mark.parametrize(
    ("litres", "told"),
    [
        # 13 / 3.785 = 3.434, 5 / 3.785 = 1.321, 2.1 / 3.785 = 0.5548, 40 / 3.785 = 10.57.
        (13.0, "3.4"),
        (5.0, "1.3"),
        (2.1, "0.55"),
        (40.0, "10.6"),
        (439.0, "116"),
        # 0.12 / 3.785 = 0.0317: little is never nothing.
        (0.12, "0.032"),
        (0.03 * US_GALLON_L, "0.03"),
        # What somebody said in gallons keeps the digits it was said with.
        (3.43 * US_GALLON_L, "3.43"),
        (1.25 * US_GALLON_L, "1.25"),
        (0.0, "0"),
    ],
)
def test_gallons_have_the_digits_of_a_bucket(litres: float, told: str) -> None:
    """Two, tenths from ten gallons on, and whole ones from a hundred (common practice)."""
    assert words().litres(litres) == f"{told}{NB}US{NB}gal"


@pytest.mark.parametrize("litres", [13.0, 3.434, 0.555, 9.96, 1528.0])
def test_litres_have_the_digits_they_had(litres: float) -> None:
    """Three, whole ones as they are."""
    shown = {13.0: "13", 3.434: "3.43", 0.555: "0.555", 9.96: "9.96", 1528.0: "1528"}
    assert words(ShownUnits()).litres(litres) == f"{shown[litres]}{NB}L"


@given(st.floats(0.001, 2000.0), st.sampled_from(["US gal", "imp gal"]))
def test_what_is_told_is_never_far_from_what_is_kept(litres: float, unit: str) -> None:
    """Two digits are at most a twentieth of 1.0 off."""
    told = words(ShownUnits(unit)).litres(litres).partition(NB)[0]

    factor = {"US gal": US_GALLON_L, "imp gal": 4.54609}[unit]
    assert float(told) == pytest.approx(litres / factor, rel=0.05)
    assert float(told) > 0.0


def test_the_head_of_the_round_is_the_sum_of_its_rows() -> None:
    """Two changes of 13 L are 3.4 gallons each, which are 6.8; the document has their 26 L."""
    thirteen = Amount(13.0, AmountUnit.LITRES)
    chores = (
        replace(change(), id="one", amount=thirteen),
        replace(change(), id="other", amount=thirteen),
    )
    folded = state(chores[0], chores=chores, units=GALLONS)
    view, told_in = round_of(folded), Words(folded.household, folded.moment)

    rows = [amount_words(one, told_in) for one in view.items]

    assert rows == [f"3.4{NB}US{NB}gal salt water"] * 2
    told = [one.number for one in figures_of(view, told_in)]
    assert f"6.8{NB}US{NB}gal" in told
    assert totals(view.items)["salt_water_l"] == 26


@pytest.mark.parametrize(
    ("parts", "told", "in_gallons"),
    [
        # 3.3 / 3.785 = 0.87 and 0.96 / 3.785 = 0.25: 1.12 gallons, of which tenths are poured.
        ((3.3, 0.96), "4.3", "1.1"),
        ((0.96, 0.83), "1.8", "0.47"),
        ((0.36, 0.48), "0.84", "0.23"),
        # Of stated litres no digit is lost: 8.25 L are asked for by the rows.
        ((6.0, 2.25), "8.25", "2.2"),
        ((40.0, 2.5), "42.5", "11.3"),
        ((4.26,), "4.26", "1.1"),
        ((0.1, 0.2), "0.3", "0.079"),
    ],
)
def test_a_sum_of_rows_is_no_finer_than_it_can_be_poured(
    parts: tuple[float, ...], told: str, in_gallons: str
) -> None:
    """Hundredths of a part below one are lost in a sum of litres."""
    assert litres_in_all(parts, words(ShownUnits())) == f"{told}{NB}L"
    assert litres_in_all(parts, words()) == f"{in_gallons}{NB}US{NB}gal"


@given(st.floats(1.0, 400.0), st.floats(0.0, 1.0), st.floats(0.0, 3.0))
def test_an_estimate_from_one_litre_on_is_poured_to_a_tenth(
    litres: float, below: float, above: float
) -> None:
    """However narrow its span is, nobody reads a jug closer."""
    gone = Estimate(litres, litres * (1.0 - below), litres * (1.0 + above))
    if gone.high > gone.low:
        told = told_litres(gone)
        assert told == round(told, 1)


def test_parts_of_a_mixing_that_do_not_add_up_as_told_are_told_as_about() -> None:
    """13 and 13 L are 26 L, 6.9 gallons of 3.4 and 3.4; 20 and 20 L are 10.6 of 5.3 each."""
    mixing, _ = item(chore(ChoreKind.MIX_SALT_WATER, "Mix", tank=None, first_due=TODAY))
    for one, told in ((13.0, f"about 3.4{NB}US{NB}gal"), (20.0, f"5.3{NB}US{NB}gal")):
        parts = (MixedFor("Nook", one), MixedFor("Den", one))
        amount = replace(item(change())[0].amount, value=2.0 * one, parts=parts)
        said = amount_reason(replace(mixing, amount=amount), words())
        assert f"The changes of Nook ({told}) and Den ({told}) take it." in said


@given(st.floats(0.06, 40.0), st.floats(0.01, 0.4))
def test_what_has_evaporated_is_told_as_the_row_asks_for_it(litres: float, share: float) -> None:
    """0.77 gallons in the row and "About 0.8" beside it would be two amounts."""
    gone = Estimate(litres, litres * (1.0 - share), litres * (1.0 + share))
    row = AmountDue(told_litres(gone), "L", gone.low, gone.high)
    assert about(gone, words()) == due_amount(row, words())


def test_what_was_missing_is_told_as_the_row_asked_for_it() -> None:
    """2.183 L that evaporated are 2.2 L in the row; a chore that states 2.25 L asks for those."""
    metric = words_for()
    for missing, told in (
        (Estimate(2.183, 1.7, 2.7), "2.2"),
        (Estimate(2.25, 1.8, 2.25), "2.25"),
    ):
        assert more_litres(missing, 4.0, metric) == (
            f"4{NB}L is more than the {told}{NB}L that were missing."
        )


def test_litres_told_alike_are_not_told_to_be_more() -> None:
    """5.3 gallons are 20.06 L: who types them where 20 L were missing read them from the row."""
    missing = Estimate(20.0, 19.0, 21.0)
    assert more_litres(missing, 5.3 * US_GALLON_L, words()) == ""
    assert more_litres(missing, 6.0 * US_GALLON_L, words()) == (
        f"6{NB}US{NB}gal is more than the 5.3{NB}US{NB}gal that were missing."
    )
