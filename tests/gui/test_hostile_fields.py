"""Everything that can be typed into, given what no field expects: refused in place, or kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

import pytest
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QComboBox, QLineEdit, QPlainTextEdit

from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Dose, Entry, Fact, Readings, ReservoirCheck, TopOff, WaterChange
from tankkeeper.core.parameters import PARAMETERS, parse_reading
from tankkeeper.gui.forms.day_fields import DayField
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.log_filter import LogFilter
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tests.builders import an_entry
from tests.gui.checks import cut_labels
from tests.gui.conftest import LiveIn, Wear
from tests.gui.hostile import TEXTS, text_of, third, type_hostile
from tests.gui.round_house import Hands, small_house
from tests.gui.test_log_form import house
from tests.gui.test_noticing import SUNDAY_EVENING
from tests.gui.test_noticing import _house as away_house


@dataclass(frozen=True)
class Spot:
    """One field: how it is reached, and the key that keeps the form it stands in."""

    name: str
    reach: Callable[[Hands], QObject]
    keep: str = "Return"
    is_number: bool = False


def _form(hands: Hands, chore: str, key: str) -> Form:
    hands.go_to(chore)
    hands.press(key)
    return hands.form()


def _tick(chore: str, get: Callable[[Form], QObject], key: str = "Return") -> Callable[..., object]:
    return lambda hands: get(_form(hands, chore, key))


def _log(what: What, get: Callable[[Form], QObject]) -> Callable[..., object]:
    def reach(hands: Hands) -> QObject:
        hands.go_to("wipe")
        hands.press("Ctrl+L")
        form = hands.form()
        form.choose(what)  # type: ignore[attr-defined]
        hands.settle()
        return get(form)

    return reach


def _ready(form: Form, field: str, **others: str) -> QObject:
    """Return a field of a form, once the others that it needs are filled in."""
    for name, text in others.items():
        getattr(form, name).set_text(text)
    return getattr(form, field)  # type: ignore[no-any-return]


def _pause_day(hands: Hands) -> QObject:
    form = _form(hands, "lamp", "Shift+P")
    form.until.setCurrentIndex(form.until.count() - 1)  # type: ignore[attr-defined]
    return form.day  # type: ignore[attr-defined,no-any-return]


def _moment(form: Form) -> QObject:
    form.when.ask()  # type: ignore[attr-defined]
    return form.when.other  # type: ignore[attr-defined,no-any-return]


def _note_of_a_feeding(form: Form) -> QObject:
    """Return the note of a feeding that ticks its chore; that of an extra one begins with so."""
    assert form.feeding.which is not None  # type: ignore[attr-defined]
    return _ready(form, "note")


def _find(hands: Hands) -> QObject:
    hands.press("Ctrl+F")
    assert hands.window.morning is not None
    finders = hands.window.morning.finders
    assert finders is not None
    assert finders.here is not None
    return finders.here.bar.field


def _log_filter(hands: Hands) -> QObject:
    hands.press("Ctrl+6", "/")
    return hands.frame.findChild(LogFilter).field  # type: ignore[union-attr]


def _correction(get: Callable[[Form], QObject]) -> Callable[[Hands], QObject]:
    """Return what reaches a field of the form that corrects the newest entry."""

    def reach(hands: Hands) -> QObject:
        hands.press("Ctrl+6")
        hands.settle()
        hands.press("End", "Return")
        # What was corrected before stands there, too, and cannot be corrected again.
        while not hands.has_form():
            hands.press("Up", "Return")
        return get(hands.form())

    return reach


def _away(name: str) -> Callable[[Hands], QObject]:
    """Return what reaches a field of the form after days off."""

    def reach(hands: Hands) -> QObject:
        hands.list.setFocus()
        hands.press("W")
        form = hands.form()
        for line in form.lines:  # type: ignore[attr-defined]
            fields = {
                "litres": line.litres,
                "salinity": line.salinity,
                "value": next(iter(line.values.values()), None),
            }
            if fields[name] is not None:
                line.choice.setCurrentIndex(1)
                return fields[name]  # type: ignore[no-any-return]
        raise AssertionError(f"no line asks for {name}")

    return reach


def _left_alone() -> Household:
    """Return the house of days off, with all that asks for numbers due in them."""
    asking = [one for one in small_house().chores if one.id in ("change", "test", "fill")]
    return away_house(*(replace(one, first_due=date(2026, 3, 10), late_days=0) for one in asking))


def _number(name: str, reach: Callable[..., object]) -> Spot:
    return Spot(name, reach, is_number=True)  # type: ignore[arg-type]


SPOTS = (
    _number("tick, litres of a top-off", _tick("fill", lambda form: _ready(form, "litres"))),
    _number(
        "tick, litres of a change",
        _tick("change", lambda form: _ready(form, "litres", salinity="35")),
    ),
    _number(
        "tick, salinity of a change",
        _tick("change", lambda form: _ready(form, "salinity", litres="9")),
    ),
    _number("tick, salinity of a test", _tick("test", lambda form: form.values["salinity"])),  # type: ignore[attr-defined]
    _number("tick, nitrate of a test", _tick("test", lambda form: form.values["nitrate"])),  # type: ignore[attr-defined]
    Spot("tick, note", _tick("wipe", lambda form: _ready(form, "note"))),  # type: ignore[arg-type]
    Spot("tick, another time", _tick("wipe", _moment)),  # type: ignore[arg-type]
    Spot("tick, who", _tick("wipe", lambda form: _ready(form, "who"))),  # type: ignore[arg-type]
    _number("tick, amount of a feeding", _tick("feed", lambda form: form.given.amount)),  # type: ignore[attr-defined]
    Spot("tick, food", _tick("feed", lambda form: form.given.food)),  # type: ignore[arg-type,attr-defined]
    Spot("tick, when", _tick("wipe", lambda form: form.when.choice)),  # type: ignore[arg-type,attr-defined]
    Spot("pause, last day", _pause_day),
    Spot("note", _tick("wipe", lambda form: _ready(form, "text"), "N"), "Ctrl+Return"),  # type: ignore[arg-type]
    _number("log, litres", _log(What.TOP_OFF, lambda form: _ready(form, "litres"))),
    _number(
        "log, left in the reservoir", _log(What.RESERVOIR, lambda form: _ready(form, "litres"))
    ),
    _number(
        "log, salinity",
        _log(What.WATER_CHANGE, lambda form: _ready(form, "salinity", litres="9")),
    ),
    _number("log, grams", _log(What.DOSE, lambda form: _ready(form, "grams", substance="salt"))),
    Spot("log, substance", _log(What.DOSE, lambda form: _ready(form, "substance", grams="5"))),  # type: ignore[arg-type]
    Spot("log, text", _log(What.NOTE, lambda form: _ready(form, "text")), "Ctrl+Return"),  # type: ignore[arg-type]
    _number("log, amount of a feeding", _log(What.FEEDING, lambda form: form.feeding.amount)),  # type: ignore[attr-defined]
    Spot("log, food", _log(What.FEEDING, lambda form: form.feeding.food)),  # type: ignore[arg-type,attr-defined]
    Spot("log, who", _log(What.FEEDING, lambda form: _ready(form, "who"))),  # type: ignore[arg-type]
    Spot("log, when", _log(What.FEEDING, lambda form: form.when.choice)),  # type: ignore[arg-type,attr-defined]
    Spot("log, another time", _log(What.FEEDING, _moment)),  # type: ignore[arg-type]
    Spot("log, how far", _log(What.TOP_OFF, lambda form: _ready(form, "extent", litres="1"))),  # type: ignore[arg-type]
    Spot("log, ticks", _log(What.FEEDING, lambda form: form.feeding.completes)),  # type: ignore[arg-type,attr-defined]
    Spot("log, note", _log(What.FEEDING, _note_of_a_feeding)),  # type: ignore[arg-type]
    Spot("log, what", _log(What.FEEDING, lambda form: _ready(form, "what"))),  # type: ignore[arg-type]
    Spot("log, tank", _log(What.FEEDING, lambda form: _ready(form, "tank"))),  # type: ignore[arg-type]
    *(
        _number(f"log, {name}", _log(What.READINGS, lambda form, n=name: form.readings.fields[n]))  # type: ignore[misc]
        for name in PARAMETERS
    ),
    _number("away, litres", _away("litres")),
    _number("away, salinity", _away("salinity")),
    _number("away, value", _away("value")),
    Spot("find", _find),
    Spot("find, logbook", _log_filter),
)


@pytest.mark.parametrize("spot", SPOTS, ids=lambda spot: spot.name)
def test_whatever_is_typed_is_refused_in_place_or_kept_as_it_is(
    live_in: LiveIn, wear: Wear, spot: Spot
) -> None:
    """One sentence and the text still there, or one entry that says what was typed."""
    wear(Scheme.LIGHT, 100)
    is_away = spot.name.startswith("away")
    hands = live_in(_left_alone(), entries=(SUNDAY_EVENING,)) if is_away else live_in(house())

    # Nothing typed at days off is "as proposed", and ends them.
    before, field = hands.log(), spot.reach(hands)
    texts = _texts_for(field, spot)
    for text in (one for one in texts if one.strip() or not is_away):
        if not hands.has_form():
            field = spot.reach(hands)
        field.setFocus()  # type: ignore[attr-defined]
        type_hostile(hands, text)
        typed = text_of(field)
        if isinstance(field, (QuantityField, QLineEdit, QPlainTextEdit)) and text.isprintable():
            assert typed == text
        hands.press(spot.keep)
        if hands.has_form():
            # The form takes the room of another sentence one turn later.
            hands.settle()
            _is_refused(hands.form(), field, typed)
            assert hands.log() == before, text[:40]
        elif spot.name.startswith("find"):
            assert hands.log() == before
            hands.press("Esc")
        else:
            _is_kept(hands, field, typed, spot, len(before))
            hands.press("Ctrl+Z")
            before = hands.log()
    if hands.has_form():
        hands.press("Esc")
        assert not hands.has_form()


# Fields that keep whatever is written in them; each text opens a form anew.
_KEEP_ALL = ("tick, note", "note", "log, text", "log, note")
_KEEP_WORDS = ("tick, food", "log, food", "log, substance")
# Fields of one kind in different forms, which read a text by the same words.
_READ_ALIKE = (
    (
        "tick, litres of a top-off",
        "tick, litres of a change",
        "log, litres",
        "log, left in the reservoir",
        "away, litres",
    ),
    ("tick, salinity of a change", "tick, salinity of a test", "log, salinity", "away, salinity"),
    ("tick, nitrate of a test", "away, value", "log, grams"),
    ("tick, amount of a feeding", "log, amount of a feeding", "log, how far"),
    ("tick, another time", "log, another time", "pause, last day"),
)


def _texts_for(field: QObject, spot: Spot) -> tuple[str, ...]:
    """Return what is typed: a choice takes no text, and fields that are read alike share them."""
    if isinstance(field, QComboBox):
        return TEXTS[::7]
    for alike in (_KEEP_ALL, _KEEP_WORDS, *_READ_ALIKE):
        if spot.name in alike:
            blank = tuple(one for one in TEXTS if not one.strip())
            return blank + third(alike.index(spot.name))
    parameter = spot.name.removeprefix("log, ")
    if spot.is_number and parameter in PARAMETERS:
        return third(list(PARAMETERS).index(parameter))
    return TEXTS


_CHANGE = WaterChange(9.0, salinity=35.0, temperature_c=25.0)
_READ = Readings((parse_reading("nitrate", "9 mg/L"),))
_CORRECTED: dict[str, tuple[Fact | None, Callable[[Form], QObject]]] = {
    "litres": (TopOff(1.5), lambda form: form.quantities["litres"]),  # type: ignore[attr-defined]
    "note": (TopOff(1.5), lambda form: form.note),  # type: ignore[attr-defined]
    "when": (TopOff(1.5), lambda form: form.when),  # type: ignore[attr-defined]
    "who": (TopOff(1.5), lambda form: form.who),  # type: ignore[attr-defined]
    "how far": (TopOff(1.5), lambda form: form.extent),  # type: ignore[attr-defined]
    "salinity": (_CHANGE, lambda form: form.quantities["salinity"]),  # type: ignore[attr-defined]
    "temperature": (_CHANGE, lambda form: form.quantities["temperature"]),  # type: ignore[attr-defined]
    "reading": (_READ, lambda form: form.readings.fields["nitrate"]),  # type: ignore[attr-defined]
    "substance": (Dose("salt", 5.0), lambda form: form.quantities["substance"]),  # type: ignore[attr-defined]
    "grams": (Dose("salt", 5.0), lambda form: form.quantities["grams"]),  # type: ignore[attr-defined]
    "left": (ReservoirCheck(left_l=4.0), lambda form: form.quantities["litres"]),  # type: ignore[attr-defined]
}


@pytest.mark.parametrize("name", _CORRECTED)
def test_a_correction_refuses_in_place_or_keeps_what_was_typed(
    live_in: LiveIn, wear: Wear, name: str
) -> None:
    """The fields of the logbook's form, with the same texts; what it corrects stays readable."""
    wear(Scheme.LIGHT, 100)
    fact, get = _CORRECTED[name]
    tank = "reef" if name == "left" else "nook"
    written = an_entry(1, "2026-03-11", fact=fact, tank=tank)
    hands = live_in(house(), entries=(written,))

    before, field = hands.log(), _correction(get)(hands)
    texts = TEXTS[::4] if isinstance(field, QComboBox) else third(list(_CORRECTED).index(name))
    for text in (one for one in texts if one.strip()):
        if not hands.has_form():
            field = _correction(get)(hands)
        field.setFocus()  # type: ignore[attr-defined]
        type_hostile(hands, text)
        typed = text_of(field)
        hands.press("Ctrl+Return")
        if hands.has_form():
            # The form takes the room of another sentence one turn later.
            hands.settle()
            _is_refused(hands.form(), field, typed)
            assert hands.log() == before, text[:40]
            continue
        kept = hands.log()
        newest = kept[0].entry
        # The first one stands as it was written, and a second correction takes the one before back.
        assert kept[-1].entry == before[-1].entry
        assert len(kept) - len(before) == (1 if len(before) == 1 else 2), text[:40]
        assert newest.replaces == written.id
        meant = typed.strip() if name == "note" else " ".join(typed.split())
        assert _said_by(newest, name) == _CHOSEN.get(typed, meant), text[:40]
        before = kept


# What the choices that a hostile text can reach by its first letter stand for.
_CHOSEN: dict[str, object] = {"Ada": "ada", "A part": False}


def _said_by(entry: Entry, name: str) -> object:
    """Return what an entry says of a field of its form; none of the texts is a number or a day."""
    match name, entry.fact:
        case "note", _:
            return entry.note
        case "who", _:
            return entry.by
        case "how far", TopOff(to_mark=is_at_mark):
            return is_at_mark
        case "substance", Dose(of=substance):
            return substance
    raise AssertionError(f"{name} was kept")


def _is_refused(form: Form, field: QObject, typed: str) -> None:
    """One sentence at the field or at the foot, and nothing of what was typed is gone."""
    assert text_of(field) == typed
    told = field.fault if isinstance(field, QuantityField) else form.accessibleDescription()
    assert told or form.accessibleDescription() or _other_fault(form)
    assert form.primary.isEnabled()
    # A word that is longer than the form is broken in the middle, which the walk takes for cut.
    endless = (400 * "9", 200 * "x", "\ufffd")
    assert [cut for cut in cut_labels(form) if not any(one[:99] in cut for one in endless)] == []


def _other_fault(form: Form) -> bool:
    return any(one.fault for one in form.findChildren(QuantityField))


def _is_kept(hands: Hands, field: QObject, typed: str, spot: Spot, before: int) -> None:
    """One entry; a text stands in it as it was typed, a number was one that can be."""
    log = hands.log()
    assert len(log) == before + 1, (spot.name, typed[:40])
    entry = log[0].entry
    if spot.is_number:
        # Nothing but spaces is nothing typed, which some forms take as "as proposed".
        assert not typed.strip()
    elif isinstance(field, DayField):
        # No sign of the text could be typed, so the line stands as it was shown.
        assert typed in ("12 Mar 2026 07:04", "18 Mar 2026")
    elif isinstance(field, QuantityField):
        assert isinstance(entry.fact, Dose)
        assert entry.fact.of == " ".join(typed.split())
    elif isinstance(field, (QLineEdit, QPlainTextEdit)):
        assert entry.note == typed.strip()
