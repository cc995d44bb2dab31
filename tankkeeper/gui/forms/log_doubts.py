"""What the form that writes down asks before it keeps: what is missing, how far, what is odd."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING, Final

from PySide6.QtWidgets import QWidget

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.state import HouseholdState
from tankkeeper.gui.forms.extent_field import ExtentField
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_writes import number_in, unwritten
from tankkeeper.reports.asking import (
    ALL_THE_SAME,
    asked_once,
    fast_litres,
    more_litres,
    short_litres,
    unready_beside,
    unready_water,
)
from tankkeeper.reports.correction_doubts import written_doubts
from tankkeeper.reports.words import Words
from tankkeeper.services.finding import find_item
from tankkeeper.services.fresh_fills import Extent, missing_then, safe_today
from tankkeeper.services.litres_limits import litres_limits

if TYPE_CHECKING:
    from tankkeeper.gui.forms.log_form import LogForm

# What has litres, and as which kind of chore they are bounded.
KINDS: Final = {
    What.TOP_OFF: ChoreKind.TOP_OFF,
    What.WATER_CHANGE: ChoreKind.WATER_CHANGE,
    What.RESERVOIR: ChoreKind.RESERVOIR,
}
_MISSING: Final = {
    "litres": "Write down the {water}.",
    "substance": "Write down what was dosed.",
    "grams": "Write down the grams.",
    "readings": "Write down at least one value.",
    "note": "Write what is to be remembered.",
}


def missing_in(
    form: LogForm, shown: Collection[QWidget], words: Words
) -> tuple[QWidget, str] | None:
    """Return the first shown field that has to be written down and is not, and what is told."""
    if form.chosen is What.READINGS and not form.readings.values:
        first = form.readings.fields[next(iter(form.readings.fields))]
        return first, _MISSING["readings"]
    if form.chosen is What.NOTE and not form.text.toPlainText().strip():
        return form.text, _MISSING["note"]
    named = {"litres": form.litres, "substance": form.substance, "grams": form.grams}
    for name, field in named.items():
        if field in shown and field.value is None:
            return field, _MISSING[name].format(water=words.volume_name)
    return None


def extent_in(form: LogForm) -> ExtentField | None:
    """Return the choice of how far the water went, None where there is none."""
    return {What.TOP_OFF: form.extent, What.RESERVOIR: form.reservoir}.get(form.chosen)


def extent_question(form: LogForm, field: ExtentField, state: HouseholdState, words: Words) -> str:
    """Return what is asked where too little, or more than is missing, went all the way in."""
    litres, tank = _sound_litres(form, state), form.chosen_tank
    if litres is None or tank is None:
        return ""
    missing = missing_then(state, KINDS[form.chosen], tank.id, form.when.at)
    short = short_litres(missing, litres, words)
    return field.question(litres, short, more_litres(missing, litres, words))


def question_of(form: LogForm, state: HouseholdState, words: Words) -> str:
    """Return what to ask about once more: what can be, but is unlike the usual."""
    if form.chosen is What.FEEDING:
        return form.feeding.question
    entry = unwritten(form, state)
    asked = [] if entry is None else list(written_doubts(state, entry, words))
    if fast := _too_fast(form, state, words):
        asked.append(f"{fast} {ALL_THE_SAME}?")
    if entry is not None and (beside := unready_beside(state, entry, words)):
        asked.append(f"{beside} {ALL_THE_SAME}?")
    if form.chosen is What.WATER_CHANGE and form.ticks.chore is not None:
        item = find_item(state, form.ticks.chore.id)
        unready = unready_water(item, words, form.when.at)
        asked.append(f"{unready} {ALL_THE_SAME}?" if unready else "")
    return asked_once(asked)


def _too_fast(form: LogForm, state: HouseholdState, words: Words) -> str:
    """Return what is so where more was poured in than may go in on one day."""
    field, tank = extent_in(form), form.chosen_tank
    if field is None or tank is None or field.extent is Extent.HOLDS:
        return ""
    litres = _sound_litres(form, state)
    if litres is None:
        return ""
    return fast_litres(safe_today(state, tank.id, litres, form.when.at), litres, words)


def _sound_litres(form: LogForm, state: HouseholdState) -> float | None:
    """Return the litres that were typed, None where they are refused when they are kept."""
    tank, litres = form.chosen_tank, number_in(form.litres)
    if tank is None or not litres_limits(state, KINDS[form.chosen], tank.id).holds(litres):
        return None
    return litres
