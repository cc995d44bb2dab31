"""A household in US gallons, inches and degrees Fahrenheit meets no litre, centimetre or °C."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QLocale
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QLineEdit, QWidget

from tankkeeper.core.chores import Amount, AmountUnit
from tankkeeper.core.household import (
    Household,
    SaltMix,
    ShownUnits,
    Sump,
    Supply,
    TopOffLimits,
    WaterSupply,
)
from tankkeeper.core.logbook import TopOff
from tankkeeper.core.units import US_GALLON_L
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.forms.spec_field import SpecField
from tankkeeper.gui.house_parts import _supply_units
from tankkeeper.gui.models.first_answers import UNIT_CHOICES
from tankkeeper.gui.models.round_rows import figures_of, why_texts
from tankkeeper.gui.models.tank_cards import card_of
from tankkeeper.gui.widgets.proposal_list import ProposalList
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.reports.rows import row_sentence
from tankkeeper.reports.words import Words
from tests.builders import an_entry
from tests.gui.conftest import Begin, LiveIn
from tests.gui.first_house import first_page, type_box
from tests.gui.round_house import Hands
from tests.gui.setting_hands import go
from tests.gui.test_chores_page import choose, chore, open_chore, write
from tests.gui.test_house_page import new, open_house
from tests.gui.test_house_page import write as write_in
from tests.gui.test_large_type import FORMS, PAGES, house, press

AMERICAN = QLocale(QLocale.Language.English, QLocale.Country.UnitedStates)
GALLONS = ShownUnits("US gal", "degF")
# "mg/L" and the like are what the trade calls concentrations, whatever it pours in.
METRIC = re.compile(
    r"(?<![\w/+])(?:L|mm|cm|cm²|kg|°C|(?i:litre|liter|millimetre|centimetre|kilogram)s?)(?![\w²])"
)
# These offer the units themselves, and the density of rock is told so by who sells it.
OWN_UNITS = frozenset({"units.volume", "units.temperature", "displaced.rock_envelope_kg_per_l"})

# What is wrong in a tank file is told in the litres of the file; the other types litres.
NOT_IN_GALLONS = frozenset({"form-import-wrong", "form-how-far"})


def in_gallons() -> Household:
    """Return a household in gallons that has said of everything how much there is."""
    made = house()
    reef, *others = made.tanks
    reef = replace(
        reef,
        sump=Sump(litres=40.0, free_l=12.0, pipes_l=2.0),
        top_off=TopOffLimits(reservoir_l=20.0, reserve_l=4.0, allowed_drop_mm=12.0),
        target_temperature_c=25.0,
    )
    return replace(
        made,
        units=GALLONS,
        tanks=(reef, *others),
        water_supply=WaterSupply(litres_per_day_rated=190.0, price_per_litre=0.05),
        salt_mix=SaltMix(grams_per_litre=38.0, price_per_kg=4.0, store_litres=60.0),
        supplies=(Supply("salt", "Salt", "g", 4000.0),),
    )


def _said(one: QWidget) -> Iterator[str]:
    yield from (one.accessibleName(), one.accessibleDescription(), one.toolTip())
    if isinstance(one, QLabel | QAbstractButton | QLineEdit):
        yield one.text()
    if isinstance(one, QLineEdit):
        yield one.placeholderText()
    if isinstance(one, QComboBox):
        yield from (one.itemText(at) for at in range(one.count()))


def metric(root: QWidget) -> set[str]:
    """Return what is shown or heard of a widget and speaks of metric units."""
    own = [one for one in root.findChildren(SpecField) if one.spec.path in OWN_UNITS]
    found = set()
    for one in root.findChildren(QWidget):
        if not one.isVisible() or any(it is one or it.isAncestorOf(one) for it in own):
            continue
        found |= {text for text in _said(one) if METRIC.search(text.replace("\u2060", ""))}
    return found


def round_texts(hands: Hands) -> Iterator[str]:
    """Yield what the round and its panel tell of each line, and the head of the round."""
    sheet = hands.sheet()
    for row in hands.rows():
        why = why_texts(row, sheet.words, (), None)
        yield from (row_sentence(row.item, sheet.words), why.title, why.reason)
        yield from (why.advice, why.caution, *(text for pair in why.numbers for text in pair))
    yield from (one.number for one in figures_of(sheet.view, sheet.words))


def test_the_round_and_its_panel_tell_no_metric_unit(live_in: LiveIn) -> None:
    """Of every line."""
    hands = live_in(in_gallons())
    told = list(round_texts(hands))
    assert any("gal" in text for text in told)
    assert [text for text in told if METRIC.search(text)] == []
    assert metric(hands.frame) == set()


def test_a_tank_is_heard_in_gallons_and_inches(live_in: LiveIn) -> None:
    """A screen reader says what the rail paints."""
    filled = an_entry(1, "2026-03-02", TopOff(1.5), tank="nook")
    hands = live_in(in_gallons(), entries=(filled,))
    sheet = hands.sheet()
    heard = [card_of(one, sheet.words).sentence for one in sheet.view.tanks]
    assert [one for one in heard if METRIC.search(one)] == []
    nook = next(one for one in heard if one.startswith("Nook"))
    assert re.search(r"US gallons, [0-9.]+ inches below the fill mark", nook)


@pytest.fixture
def painted(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What is written by a painter rather than by a label, from now on."""
    told: list[str] = []
    keep = QPainter.drawText

    def draw(painter: QPainter, *what: object) -> object:
        told.extend(one for one in what if isinstance(one, str))
        return keep(painter, *what)  # type: ignore[call-overload]

    monkeypatch.setattr(QPainter, "drawText", draw)
    return told


@pytest.mark.painted
@pytest.mark.parametrize("page", PAGES)
def test_no_page_tells_a_metric_unit(live_in: LiveIn, painted: list[str], page: str) -> None:
    """Neither what is seen nor what is heard, nor what is painted: the rail, lists, drawings."""
    filled = an_entry(1, "2026-03-02", TopOff(1.5), tank="nook")
    hands = live_in(in_gallons(), entries=(filled,))
    press(hands, PAGES[page])
    hands.frame.grab()
    assert metric(hands.frame) == set()
    assert any(re.fullmatch("[0-9.]+\N{NO-BREAK SPACE}in", one) for one in painted)
    assert [one for one in painted if METRIC.search(one.replace("\u2060", ""))] == []


@pytest.mark.parametrize("form", [one for one in FORMS if one not in NOT_IN_GALLONS])
def test_no_form_tells_a_metric_unit(live_in: LiveIn, tmp_path: Path, form: str) -> None:
    """Nor what it refuses."""
    shot = FORMS[form]
    path = tmp_path / "quay.tankkeeper"
    shot.make(path)
    with closing(sqlite3.connect(path)) as file, file:
        # A change by the program would be one more row of the logbook.
        file.execute(
            "UPDATE household SET units_volume = ?, units_temperature = ?",
            (GALLONS.volume, GALLONS.temperature),
        )
    hands = live_in(is_there=True, now=shot.now)
    press(hands, shot.keys)
    if shot.do is not None:
        shot.do(hands)
    hands.settle()
    assert metric(hands.form()) == set()


@pytest.mark.parametrize("letter", ["t", "w", "re"])
def test_a_refusal_of_too_much_water_tells_no_metric_unit(live_in: LiveIn, letter: str) -> None:
    """Top-off, change and reservoir: how much is believed is told in gallons."""
    hands = live_in(in_gallons())
    hands.go_to("change")
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.what.setCurrentIndex(
        form.what.findData(
            {"t": What.TOP_OFF, "w": What.WATER_CHANGE, "re": What.RESERVOIR}[letter]
        )
    )
    hands.settle()
    for typed in ("70", "5000", "2 gal", ""):
        form.litres.field.setText(typed)
        hands.press("Ctrl+Return")
        assert hands.has_form()
        assert form.litres.fault or form.primary.words == "Keep"
        assert metric(form) == set()


def test_a_refusal_of_an_amount_of_a_chore_tells_no_metric_unit(live_in: LiveIn) -> None:
    """More than the tank holds, and a unit that its kind of work is not counted in."""
    hands = live_in(in_gallons())
    desk = open_chore(hands, "Change water")
    sheet = desk.sheet
    assert sheet is not None
    # 9 L are 9 / 3.785 = 2.378 gallons.
    assert sheet.fields["amount"].typed.text == "2.4"
    go(hands, desk, "amount")
    for typed in ("500", "-3"):
        write(hands, typed)
        hands.press("Ctrl+Return")
        assert sheet.fields["amount"].fault
        assert metric(hands.frame) == set()
    write(hands, "3")
    choose(hands, desk, "amount_unit", "Pieces")
    hands.press("Ctrl+Return")
    assert metric(hands.frame) == set()
    choose(hands, desk, "amount_unit", "US gallons")
    hands.press("Ctrl+Return")
    kept = chore(hands, "change").amount
    assert kept is not None
    assert kept.value == pytest.approx(3.0 * US_GALLON_L)


def test_the_amount_of_a_chore_is_kept_where_another_field_is_typed(live_in: LiveIn) -> None:
    """2.4 gallons stand there, and the 9 L stay 9 L."""
    hands = live_in(in_gallons())
    desk = open_chore(hands, "Change water")
    go(hands, desk, "minutes")
    write(hands, "25")
    hands.press("Ctrl+Return")
    found = chore(hands, "change")
    assert (found.minutes, found.amount) == (25, Amount(9.0, AmountUnit.LITRES))


def test_salt_and_prices_are_told_of_a_gallon_and_a_pound(live_in: LiveIn) -> None:
    """38 g/L are 38 * 3.785 = 143.8 g a gallon, 4.00 a kilogram 4 * 0.4536 = 1.81 a pound."""
    hands = live_in(in_gallons())
    desk = open_house(hands, "salt")
    fields = desk.sheet.fields
    assert fields["grams_per_litre"].typed.text == "143.85"
    assert fields["price_per_kg"].typed.text == "1.81"
    write_in(hands, desk, "price_per_kg", "2")
    hands.press("Ctrl+Return")
    mix = hands.window.session.household.salt_mix
    assert mix.grams_per_litre == 38.0
    # A pound is 0.45359237 kg.
    assert mix.price_per_kg == pytest.approx(2.0 / 0.45359237)
    write_in(hands, desk, "grams_per_litre", "99999")
    hands.press("Ctrl+Return")
    assert desk.sheet.fields["grams_per_litre"].fault
    assert metric(hands.frame) == set()


def test_a_supply_can_be_counted_in_gallons_there(live_in: LiveIn) -> None:
    """And a household in litres is offered what it was."""
    hands = live_in(in_gallons())
    desk = open_house(hands, "supplies")
    new(hands, desk)
    offered = [name for name, _ in _supply_units(hands.sheet().words)]
    assert offered == ["Not said", "g", "mL", "US gal", "pieces"]
    litres = Words(house(), hands.sheet().words.moment)
    assert [name for name, _ in _supply_units(litres)] == ["Not said", "g", "mL", "L", "pieces"]


def test_the_first_start_in_gallons_tells_no_metric_unit(begin: Begin) -> None:
    """Measures, what follows from them, what is proposed, and what is refused."""
    hands = begin(AMERICAN)
    type_box(hands, ("Nook", "24", "16", "16", "14"))
    page = first_page(hands.window)
    assert "gal" in page.litres.text()
    # The choice of the units names all of them.
    offered = {one.text for one in UNIT_CHOICES}
    assert metric(hands.frame) <= offered
    model = page.findChildren(ProposalList)[0].model()
    rows = [model.index(at, 0) for at in range(model.rowCount())]
    told = [str(row.data(role)) for row in rows for role in range(300) if row.data(role)]
    assert len(told) > 10
    assert [one for one in told if METRIC.search(one)] == []
    field = next(one for one in page.findChildren(QuantityField) if one.text == "24")
    field.field.setText("99999")
    field.check()
    hands.settle()
    assert field.fault
    assert metric(hands.frame) <= offered
