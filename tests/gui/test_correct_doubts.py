"""A correction asks what the forms asked that wrote the entry down, by real keys."""

from __future__ import annotations

import sys
from datetime import time

import pytest

from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.errors import Surroundings
from tankkeeper.core.logbook import Entry, Readings, ReservoirCheck, TopOff, WaterChange, Work
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.correct_form import CorrectForm
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.logbook_desk import UNREAD
from tankkeeper.reports.faults import fault_words
from tankkeeper.services import correcting
from tankkeeper.services.fresh_fills import Extent
from tests.builders import an_entry
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, chore, small_house
from tests.gui.test_doubtful_readings import house as house_of_corals
from tests.gui.test_doubtful_readings import nitrate
from tests.gui.test_how_far import fills
from tests.gui.test_how_far import house as house_of_water


def _asked(form: CorrectForm | LogForm) -> str:
    told = form.accessibleDescription()
    return told.replace("\N{NO-BREAK SPACE}", " ").replace("\N{WORD JOINER}", "")


def _correct_newest(hands: Hands) -> CorrectForm:
    hands.press("Ctrl+6", "Home", "Return")
    form = hands.form()
    assert isinstance(form, CorrectForm)
    return form


def _newest(hands: Hands) -> Entry:
    return max((one.entry for one in hands.log()), key=lambda one: one.seq)


READ = (nitrate(1, "2026-03-02", 7.0), nitrate(2, "2026-03-09", 8.0), nitrate(3, "2026-03-11", 9.0))


def test_a_reading_corrected_to_ten_times_the_last_is_asked_about(live_in: LiveIn) -> None:
    """By the reading before it, not by the one that it replaces; a second key keeps it."""
    hands = live_in(house_of_corals(), entries=READ)

    form = _correct_newest(hands)
    hands.press("Ctrl+A")
    hands.type("90")
    hands.press("Ctrl+Return")

    assert _asked(form) == (
        "Nitrate 90 mg/L is far from the 8 mg/L read on Mon 9. Keep it if it was read so."
    )
    assert form.primary.text() == "Keep all the same"
    assert len(hands.log()) == len(READ)
    hands.press("Ctrl+Return")
    assert not hands.has_form()
    assert _newest(hands).fact == Readings((ReadingValue("nitrate", 90.0, "mg/L", 90.0),))


def test_a_feeding_corrected_to_ten_times_its_plan_is_asked_about(live_in: LiveIn) -> None:
    """With the words of a feeding, not with those of a dose."""
    feed = chore("feed", "Feed", 12, kind=ChoreKind.FEEDING, amount=Amount(0.6, AmountUnit.GRAMS))
    hands = live_in(small_house(chores=(feed,)))
    hands.press("Space")

    form = _correct_newest(hands)
    form.quantities["grams"].field.setText("6")
    hands.press("Ctrl+Return")

    assert _asked(form) == "6 g is far more than the 0.6 g proposed. Keep it if so much was fed."
    hands.press("Ctrl+Return")
    assert _newest(hands).fact == Work(grams=6.0)


def test_what_stays_as_it_stood_is_asked_about_no_more(live_in: LiveIn) -> None:
    """Who adds a note to a reading that was confirmed once is asked nothing."""
    hands = live_in(house_of_corals(), entries=(*READ[:2], nitrate(3, "2026-03-11", 90.0)))

    form = _correct_newest(hands)
    form.note.setFocus()
    hands.type("Read twice")
    hands.press("Ctrl+Return")

    assert not hands.has_form()
    assert _newest(hands).note == "Read twice"


def test_too_much_fresh_water_at_once_is_asked_about(live_in: LiveIn) -> None:
    """As in the form of the tick; nobody topped off for so long that it needs several days."""
    before = fills()[:-4]
    poured = an_entry(40, "2026-03-11", TopOff(2.0, to_mark=False), tank="nook", at=time(7))
    hands = live_in(house_of_water(), entries=(*before, poured))

    form = _correct_newest(hands)
    assert form.extent is not None
    hands.press("Ctrl+A")
    hands.type("6")
    hands.press("Ctrl+Return")

    assert "6 L at once lowers the salinity faster than is safe" in _asked(form)
    assert _asked(form).endswith("Keep all the same?")
    hands.press("Ctrl+Return")
    assert _newest(hands).fact == TopOff(6.0, to_mark=False)


def test_too_little_for_the_mark_is_asked_about_and_can_be_a_part(live_in: LiveIn) -> None:
    """One letter answers; what was a part leaves the turn open."""
    filled = an_entry(40, "2026-03-12", TopOff(2.9), tank="nook", done="fill", at=time(6))
    hands = live_in(house_of_water(), entries=(*fills(), filled))
    assert hands.state("fill") is State.DONE

    form = _correct_newest(hands)
    assert form.extent is not None
    hands.press("Ctrl+A")
    hands.type("1")
    hands.press("Ctrl+Return")
    assert _asked(form).startswith("1 L is less than the ")
    assert _asked(form).endswith("To the mark, or a part?")
    assert form.extent.hasFocus()
    hands.type("a")
    hands.press("Ctrl+Return")

    assert _newest(hands).fact == TopOff(1.0, to_mark=False)
    assert _newest(hands).completes == ()
    hands.press("Ctrl+Z")
    hands.press("Ctrl+1")
    assert hands.state("fill") is State.DONE


@pytest.mark.parametrize(
    ("tank", "chore_id", "question"),
    [
        ("nook", "fill", "To the mark, or a part?"),
        ("reef", "refill", "Until full, or some?"),
    ],
)
def test_a_part_of_more_than_was_missing_is_asked_about(
    live_in: LiveIn, tank: str, chore_id: str, question: str
) -> None:
    """About 3 L are missing after three days; 4 L were hardly a part of them."""
    part = an_entry(40, "2026-03-12", TopOff(1.0, to_mark=False), tank=tank, at=time(6))
    hands = live_in(house_of_water(), entries=(*fills(), part))
    assert hands.state(chore_id) is not State.DONE

    form = _correct_newest(hands)
    assert form.extent is not None
    form.quantities["litres"].setFocus()
    hands.press("Ctrl+A")
    hands.type("4")
    hands.press("Ctrl+Return")

    assert _asked(form).startswith("4 L is more than the ")
    assert _asked(form).endswith(f"that were missing. {question}")
    assert form.extent.hasFocus()
    hands.press("Home", "Down")
    hands.press("Ctrl+Return")
    assert not hands.has_form()
    assert _newest(hands).fact == TopOff(4.0, to_mark=False)


def test_new_water_corrected_to_that_of_another_tank_is_asked_about(live_in: LiveIn) -> None:
    """The small house keeps both its tanks at 35."""
    change = WaterChange(9.0, added_l=9.0, salinity=35.0)
    entry = an_entry(1, "2026-03-12", change, tank="reef", done="change", at=time(6))
    hands = live_in(entries=(entry,))

    form = _correct_newest(hands)
    form.quantities["salinity"].setFocus()
    hands.press("Ctrl+A")
    hands.type("38")
    hands.press("Ctrl+Return")

    assert _asked(form) == (
        "New water of 38.0 PSU is far from the target of Reef, 35.0 PSU. Keep it if it was so."
    )
    hands.press("Ctrl+Return")
    assert not hands.has_form()
    kept = _newest(hands).fact
    assert isinstance(kept, WaterChange)
    assert kept.salinity == 38.0


def test_a_part_of_a_top_off_can_be_made_to_the_mark(live_in: LiveIn) -> None:
    """It then does the turn that was open."""
    part = an_entry(40, "2026-03-12", TopOff(2.9, to_mark=False), tank="nook", at=time(6))
    hands = live_in(house_of_water(), entries=(*fills(), part))
    assert hands.state("fill") is not State.DONE

    form = _correct_newest(hands)
    assert form.extent is not None
    form.extent.setFocus()
    hands.type("t")
    hands.press("Ctrl+Return")

    assert not hands.has_form()
    assert _newest(hands).fact == TopOff(2.9, to_mark=True)
    assert [turn.chore for turn in _newest(hands).completes] == ["fill"]
    hands.press("Ctrl+1")
    assert hands.state("fill") is State.DONE


@pytest.mark.parametrize("is_undone", [False, True])
def test_the_number_that_was_proposed_can_be_typed_as_a_measured_one(
    live_in: LiveIn, is_undone: bool
) -> None:
    """Somebody measured just that; what undo puts back in the field is nothing new."""
    kept = an_entry(40, "2026-03-12", TopOff(2.9, estimated=True), tank="nook", at=time(6))
    hands = live_in(house_of_water(), entries=(*fills(), kept))
    form = _correct_newest(hands)
    field = form.quantities["litres"].field
    field.setFocus()
    hands.press("Ctrl+A")
    hands.type("2.9")
    if is_undone:
        while field.isUndoAvailable():
            field.undo()

    hands.press("Ctrl+Return")

    if is_undone:
        assert hands.has_form()
        assert _newest(hands).id == kept.id
    else:
        assert not hands.has_form()
        assert _newest(hands).fact == TopOff(2.9)


@pytest.mark.parametrize(
    ("key", "fact"),
    [
        ("s", TopOff(2.9, to_mark=False)),
        ("n", ReservoirCheck(left_l=2.9, estimated=True)),
    ],
)
def test_a_reservoir_filled_until_full_can_be_made_less(
    live_in: LiveIn, key: str, fact: TopOff | ReservoirCheck
) -> None:
    """A part, or what it now holds: its turn is open again, and undo does it again."""
    filled = ReservoirCheck(fill_l=2.9)
    entry = an_entry(40, "2026-03-12", filled, tank="reef", done="refill", at=time(6))
    hands = live_in(house_of_water(), entries=(*fills(), entry))
    assert hands.state("refill") is State.DONE

    form = _correct_newest(hands)
    assert form.extent is not None
    assert form.extent.extent is Extent.FULL
    form.extent.setFocus()
    hands.type(key)
    hands.press("Ctrl+Return")

    assert not hands.has_form()
    assert _newest(hands).fact == fact
    assert _newest(hands).completes == ()
    hands.press("Ctrl+Z")
    hands.press("Ctrl+1")
    assert hands.state("refill") is State.DONE


def test_a_part_poured_into_a_reservoir_can_be_made_until_full(live_in: LiveIn) -> None:
    """What is kept as a top-off becomes a fill, and does its turn."""
    part = an_entry(40, "2026-03-12", TopOff(2.9, to_mark=False), tank="reef", at=time(6))
    hands = live_in(house_of_water(), entries=(*fills(), part))

    form = _correct_newest(hands)
    assert form.extent is not None
    assert form.extent.extent is Extent.PART
    form.extent.setFocus()
    hands.type("u")
    hands.press("Ctrl+Return")

    assert not hands.has_form()
    assert _newest(hands).fact == ReservoirCheck(fill_l=2.9)
    assert [turn.chore for turn in _newest(hands).completes] == ["refill"]


def test_what_to_do_about_several_readings_is_said_once(live_in: LiveIn) -> None:
    """Each is named, the advice stands once behind the last."""
    hands = live_in(house_of_corals(), entries=READ)
    hands.go_to("test")
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.choose(What.READINGS)
    for name, text in (("salinity", "20"), ("nitrate", "200"), ("ph", "7")):
        form.readings.fields[name].setFocus()
        hands.type(text)
    hands.press("Ctrl+Return")

    asked = _asked(form)
    assert asked.count("Keep ") == 1
    assert asked.endswith("Keep them if they were read so.")
    for name in ("Salinity 20", "Nitrate 200", "pH 7"):
        assert name in asked


@pytest.mark.parametrize("is_bug", [False, True])
def test_what_cannot_be_read_to_judge_by_is_told_and_tried_once_more(
    live_in: LiveIn, monkeypatch: pytest.MonkeyPatch, is_bug: bool
) -> None:
    """The form never waits for what does not come; it can be left, or keep once it is there."""
    hands = live_in(house_of_corals(), entries=READ)
    real, failures = correcting.without, [1]

    def failing(*given: object) -> object:
        if failures:
            failures.pop()
            raise ValueError("a bug") if is_bug else Surroundings("locked", path="the file")
        return real(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(correcting, "without", failing)
    raised: list[BaseException] = []
    monkeypatch.setattr(sys, "excepthook", lambda _kind, error, _trace: raised.append(error))
    form = _correct_newest(hands)
    hands.press("Ctrl+A")
    hands.type("9.5")

    told = UNREAD if is_bug else fault_words(Surroundings("locked", path="the file"))
    assert form.accessibleDescription() == told
    assert [str(one) for one in raised] == (["a bug"] if is_bug else [])
    hands.press("Ctrl+Return")

    assert not hands.has_form()
    assert _newest(hands).fact == Readings((ReadingValue("nitrate", 9.5, "mg/L", 9.5),))
