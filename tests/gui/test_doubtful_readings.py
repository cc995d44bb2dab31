"""A reading far from the last one is asked about in the window before it is kept."""

from dataclasses import replace

from tankkeeper.core.communities import Community
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry, Readings
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.forms.tick_form import TickForm
from tests.builders import an_entry
from tests.gui.conftest import LiveIn
from tests.gui.round_house import Hands, small_house

FAR = "Nitrate 80 mg/L is far from the 8 mg/L read on Mon 9. Keep it if it was read so."


def house() -> Household:
    """Return the small house with stony corals in Reef."""
    small = small_house()
    reef, nook = small.tanks
    return replace(small, tanks=(replace(reef, community=Community.SMALL_POLYP_STONY), nook))


def nitrate(number: int, day: str, value: float) -> Entry:
    fact = Readings((ReadingValue("nitrate", value, "mg/L", value),))
    return an_entry(number, day, fact, tank="reef")


BEFORE = (nitrate(1, "2026-03-02", 7.0), nitrate(2, "2026-03-09", 8.0))


def _asked(form: TickForm | LogForm) -> str:
    told = form.accessibleDescription()
    return told.replace("\N{NO-BREAK SPACE}", " ").replace("\N{WORD JOINER}", "")


def _test(hands: Hands, nitrate: str) -> TickForm:
    hands.go_to("test")
    hands.press("Space")
    form = hands.form()
    assert isinstance(form, TickForm)
    hands.type("35")
    hands.press("Tab")
    hands.type(nitrate)
    hands.press("Return")
    return form


def test_ten_times_the_last_reading_is_asked_about_in_the_round(live_in: LiveIn) -> None:
    """A second Return keeps it; a digit taken away forgets the question."""
    hands = live_in(house(), entries=BEFORE)

    form = _test(hands, "80")
    assert _asked(form) == FAR
    assert form.primary.text() == "Keep all the same"
    # What is asked about is selected, to be typed over.
    hands.press("End", "Backspace")
    assert _asked(form) == ""
    hands.type("0")
    hands.press("Return")
    assert len(hands.log()) == len(BEFORE)
    hands.press("Return")

    assert hands.state("test") is State.DONE


def test_a_likely_reading_is_kept_at_once(live_in: LiveIn) -> None:
    """One Return."""
    hands = live_in(house(), entries=BEFORE)

    _test(hands, "11")

    assert hands.state("test") is State.DONE


def test_the_form_that_writes_down_asks_the_same(live_in: LiveIn) -> None:
    """Of the tank that is chosen in it."""
    hands = live_in(house(), entries=BEFORE)
    hands.go_to("test")
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.choose(What.READINGS)
    form.readings.fields["nitrate"].setFocus()
    hands.type("80")
    hands.press("Return")
    assert _asked(form) == FAR
    form.tank.setFocus()
    hands.press("Down")
    assert _asked(form) == ""
    hands.press("Return")

    assert not hands.has_form()
    assert hands.log()[0].entry.tank == "nook"


def test_a_first_reading_far_outside_the_range_is_asked_about(live_in: LiveIn) -> None:
    """Nothing was read before, but stony corals are kept otherwise."""
    hands = live_in(house())

    form = _test(hands, "80")

    assert _asked(form) == (
        "Nitrate 80 mg/L is far outside the range of Reef, 1 mg/L to 10 mg/L. "
        "Keep it if it was read so."
    )
    hands.press("Esc")
