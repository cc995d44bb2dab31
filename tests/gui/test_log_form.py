"""Writing down by key what is not in the round: asked, refused in place, kept, ticked."""

from dataclasses import replace
from datetime import date, datetime, time

import pytest
from PySide6.QtCore import QEvent, QObject, QRect
from PySide6.QtGui import QAccessible, QPaintEvent
from PySide6.QtWidgets import QWidget

from tankkeeper.core.chores import Amount, AmountUnit, Calendar, ChoreKind, IfMissed
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Household, Supply, TopOffLimits
from tankkeeper.core.logbook import (
    Dose,
    Note,
    Readings,
    ReservoirCheck,
    TopOff,
    WaterChange,
    Work,
)
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.forms.tick_form import TickForm
from tankkeeper.gui.palette import Scheme
from tests.builders import BERLIN, an_entry
from tests.gui.calendar_hands import month_of
from tests.gui.checks import cut_labels, nameless, overlapping
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import THURSDAY, Hands, chore, small_house

FEED = chore(
    "feed",
    "Feed",
    None,
    kind=ChoreKind.FEEDING,
    rhythm=Calendar("FREQ=DAILY", date(2026, 3, 1)),
)

NOOK_HAS_NONE = "Nook has no automatic top-off, so it has no reservoir."


def house() -> Household:
    """Return the small house with a reservoir on Reef, a supply, and a daily feeding."""
    small = small_house()
    reef, nook = small.tanks
    reef = replace(reef, top_off=TopOffLimits(reservoir_l=20.0, reserve_l=2.0))
    supplies = (Supply("buffer", "Alkalinity buffer", "g"),)
    return replace(small, tanks=(reef, nook), supplies=supplies, chores=(*small.chores, FEED))


def _open(hands: Hands, first_letters: str = "") -> LogForm:
    hands.press("Ctrl+L")
    for letter in first_letters:
        hands.type(letter)
    form = hands.form()
    assert isinstance(form, LogForm)
    return form


def _open_tick(hands: Hands) -> TickForm:
    hands.press("Return")
    form = hands.form()
    assert isinstance(form, TickForm)
    return form


def _fact(hands: Hands) -> object:
    return hands.log()[0].entry.fact


def test_one_key_opens_the_form_on_the_tank_of_the_selected_line(live_in: LiveIn) -> None:
    """The first field has the keys, and the tank is the one that is meant."""
    hands = live_in(house())
    hands.go_to("fill")

    form = _open(hands)

    assert hands.focus() is form.what
    assert form.tank.currentText() == "Nook"


def test_the_tank_chosen_in_the_rail_comes_before_that_of_the_line(live_in: LiveIn) -> None:
    """Who narrowed the round to a tank means that tank, from the rail, too."""
    hands = live_in(house())
    hands.press("Ctrl+Down", "Ctrl+Down")

    hands.frame.rail.setFocus()
    form = _open(hands)

    assert form.tank.currentText() == "Nook"


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_the_readings_fit_a_screen_of_800_pixels_and_scroll_to_the_field_with_the_keys(
    live_in: LiveIn, wear: Wear, percent: int
) -> None:
    """No field lies below the edge of the screen, and the buttons can always be seen."""
    hands = live_in(house())
    wear(Scheme.LIGHT, percent)
    form = _open(hands, "r")

    assert form.screen().availableSize().height() == 800
    assert form.height() <= 800
    for field in form.readings.fields.values():
        field.setFocus()
        hands.settle()
        _is_seen(field.field, form)
    hands.type("nonsense")
    hands.press("Return")
    hands.settle()
    wrong = list(form.readings.fields.values())[-1]
    assert wrong.fault
    assert form.height() <= 800
    _is_seen(wrong, form)
    _is_seen(form.primary, form)


def _is_seen(widget: QWidget, form: LogForm) -> None:
    assert widget.visibleRegion().boundingRect() == widget.rect()
    bottom = widget.mapTo(form, widget.rect().bottomLeft()).y()
    assert 0 <= bottom < form.height()


def test_a_top_off_ticks_the_open_chore_and_says_so(live_in: LiveIn) -> None:
    """Comma and point are both decimal signs; the keys are in the list again."""
    hands = live_in(house())
    hands.go_to("fill")
    _open(hands, "t")

    hands.press("Tab", "Tab")
    hands.type("1,5")
    hands.press("Return")

    assert not hands.has_form()
    assert _fact(hands) == TopOff(1.5, to_mark=True)
    assert (
        hands.told
        == "Nook: topped off, 1.5\u00a0L to the mark. That ticks Top off. Next on Thu\u00a019."
    )
    assert hands.state("fill") is State.DONE
    assert hands.list.hasFocus()


def test_what_was_written_down_is_undone_and_done_again(live_in: LiveIn) -> None:
    """It is a deed of this window like a tick."""
    hands = live_in(house())
    hands.go_to("fill")
    _open(hands, "t")
    hands.press("Tab", "Tab")
    hands.type("1.5")
    hands.press("Return")

    hands.press("Ctrl+Z")
    assert hands.state("fill") is State.DUE
    hands.press("Ctrl+Y")

    assert hands.state("fill") is State.DONE


def test_a_part_ticks_nothing(live_in: LiveIn) -> None:
    """A part leaves the level below the mark, so the chore stays open."""
    hands = live_in(house())
    hands.go_to("fill")
    form = _open(hands, "t")
    hands.press("Tab", "Tab")
    hands.type("0.5 l")
    hands.press("Tab")
    assert hands.focus() is form.extent
    hands.type("a")
    hands.press("Return")

    assert _fact(hands) == TopOff(0.5, to_mark=False)
    assert "ticks" not in hands.told
    assert hands.state("fill") is State.DUE


def test_a_water_change_takes_litres_and_salinity(live_in: LiveIn) -> None:
    """It ticks the change that is due."""
    hands = live_in(house())
    _open(hands, "w")
    hands.press("Tab", "Tab")
    hands.type("9")
    hands.press("Tab")
    hands.type("35,2")
    hands.press("Return")

    fact = _fact(hands)
    assert isinstance(fact, WaterChange)
    assert (fact.litres, fact.salinity) == (9.0, 35.2)
    assert hands.told.endswith("That ticks Change water. Next on Thu\u00a019.")


def test_readings_tick_the_test_whose_values_are_all_there(live_in: LiveIn) -> None:
    """Salinity and nitrate are what the test asks for; the rest is left empty."""
    hands = live_in(house())
    form = _open(hands, "r")
    hands.press("Tab", "Tab")
    assert hands.focus() is form.readings.fields["temperature"].field
    hands.press("Tab")
    hands.type("35")
    form.readings.fields["nitrate"].setFocus()
    hands.type("12 mg/L")
    hands.press("Return")

    fact = _fact(hands)
    assert isinstance(fact, Readings)
    assert {one.parameter: one.value for one in fact.values} == {"salinity": 35.0, "nitrate": 12.0}
    assert hands.told.endswith("That ticks Test the water. Next on Thu\u00a019.")
    assert hands.state("test") is State.DONE


def test_an_unusual_reading_is_asked_about_once(live_in: LiveIn) -> None:
    """The second press keeps it; other typing forgets the question."""
    hands = live_in(house())
    form = _open(hands, "r")
    form.readings.fields["ph"].setFocus()
    hands.type("6.9")

    hands.press("Return")
    assert hands.log() == []
    assert form.primary.words == "Keep all the same"
    hands.press("Return")

    assert isinstance(_fact(hands), Readings)


def test_a_dose_takes_a_supply_by_its_first_letters(live_in: LiveIn) -> None:
    """The name is completed in the line; grams take a kilogram, too."""
    hands = live_in(house())
    form = _open(hands, "d")
    hands.press("Tab", "Tab")
    hands.type("alk")
    assert form.substance.text.casefold() == "alkalinity buffer"
    hands.press("Tab")
    hands.type("0.02 kg")
    hands.press("Return")

    assert _fact(hands) == Dose("Alkalinity buffer", 20.0)


@pytest.mark.parametrize(
    ("how", "fact"),
    [("l", ReservoirCheck(left_l=7.0)), ("f", ReservoirCheck(fill_l=7.0))],
)
def test_a_reservoir_is_looked_at_or_filled(
    live_in: LiveIn, how: str, fact: ReservoirCheck
) -> None:
    """Left and filled are told apart by their first letters."""
    hands = live_in(house())
    form = _open(hands)
    form.choose(What.RESERVOIR)
    hands.press("Tab", "Tab")
    assert hands.focus() is form.reservoir
    hands.type(how)
    hands.press("Tab")
    hands.type("7")
    hands.press("Return")

    assert _fact(hands) == fact


def test_a_tank_without_a_reservoir_is_refused_in_the_form(live_in: LiveIn) -> None:
    """What was typed stays, and another tank can be chosen."""
    hands = live_in(house())
    hands.go_to("fill")
    form = _open(hands)
    form.tank.setCurrentText("Reef")
    form.choose(What.RESERVOIR)
    form.tank.setCurrentText("Nook")
    form.litres.setFocus()
    hands.type("7")

    hands.press("Return")

    assert hands.form() is form
    assert form.accessibleDescription() == NOOK_HAS_NONE
    assert form.litres.text == "7"
    assert hands.focus() is form.tank
    assert hands.log() == []


def test_that_a_tank_has_no_reservoir_is_told_as_it_is_chosen(live_in: LiveIn) -> None:
    """Before anything is typed, and no longer once another tank or another kind is chosen."""
    hands = live_in(house())
    hands.go_to("fill")
    form = _open(hands)

    form.tank.setCurrentText("Reef")
    form.choose(What.RESERVOIR)
    assert form.accessibleDescription() == ""
    form.tank.setCurrentText("Nook")
    assert form.accessibleDescription() == NOOK_HAS_NONE
    hands.press("Return")
    assert form.accessibleDescription() == NOOK_HAS_NONE
    form.choose(What.TOP_OFF)
    assert form.accessibleDescription() == ""


def test_no_reservoir_is_offered_where_no_tank_has_one(live_in: LiveIn) -> None:
    """Everything else is."""
    form = _open(live_in())

    assert _kinds(form) == [one.value for one in What if one is not What.RESERVOIR]


def test_a_reservoir_is_offered_for_the_tank_that_has_one(live_in: LiveIn) -> None:
    """Reef has one, Nook has none; chosen before the tank it stays, and what was typed with it."""
    hands = live_in(house())
    hands.go_to("fill")
    form = _open(hands)
    everything = [one.value for one in What]
    without = [one for one in everything if one != What.RESERVOIR.value]
    assert form.tank.currentText() == "Nook"
    assert _kinds(form) == without

    form.tank.setCurrentText("Reef")
    assert _kinds(form) == everything
    form.choose(What.RESERVOIR)
    form.litres.setFocus()
    hands.type("7")
    form.tank.setCurrentText("Nook")
    assert (form.what.currentText(), form.litres.text) == (What.RESERVOIR.value, "7")
    assert _kinds(form) == everything
    form.choose(What.TOP_OFF)
    assert _kinds(form) == without
    assert form.what.currentText() == What.TOP_OFF.value


def _kinds(form: LogForm) -> list[str]:
    return [form.what.itemText(at) for at in range(form.what.count())]


def test_what_has_no_reservoir_since_is_refused_where_it_is_kept(live_in: LiveIn) -> None:
    """It is told by the household as it is by then, and the keys go to the tank."""
    hands = live_in(house())
    form = _open(hands)
    form.choose(What.RESERVOIR)

    form.refuse_for(UserFault("no_reservoir", tank="Reef"))

    assert "Reef has no automatic top-off" in form.accessibleDescription()
    assert form.focusWidget() is form.tank


def test_a_feeding_ticks_the_open_one_and_says_so_before(live_in: LiveIn) -> None:
    """What is open is chosen and told beforehand; one key makes it extra."""
    hands = live_in(house())
    hands.go_to("feed")

    form = _open(hands, "f")
    assert _offered(form) == ["Feed", "Nothing, it is extra"]
    assert form.feeding.told.text() == (
        "This ticks Feed, as in the round. Choose Nothing where it is extra."
    )
    hands.press("Tab", "Tab", "Down")
    assert form.feeding.told.text() == "This ticks nothing. Feed stays open."
    assert form.feeding.completes.accessibleDescription() == form.feeding.told.text()
    hands.press("Return")
    assert hands.told == "Fed Reef once more, beside the plan."
    assert hands.state("feed") is not State.DONE
    _open(hands, "f")
    hands.press("Return")
    assert hands.told == "Fed Reef. That ticks Feed. Next tomorrow."
    assert hands.state("feed") is State.DONE

    form = _open(hands, "f")
    assert _offered(form) == ["Nothing, it is extra"]
    assert form.feeding.told.text() == (
        "No feeding of Reef is open now. This one stands beside the plan."
    )
    hands.press("Return")
    assert hands.told == "Fed Reef once more, beside the plan."
    assert len(hands.log()) == 3


def test_a_feeding_that_lapsed_today_is_told_and_can_be_ticked(live_in: LiveIn) -> None:
    """At seven in the evening that of 18:00 stands in the round, and is proposed as before."""
    hours = Calendar("FREQ=DAILY", date(2026, 3, 1), (time(7), time(18)))
    lapsing = replace(FEED, rhythm=hours, if_missed=IfMissed.EXPIRE)
    evening = datetime.combine(THURSDAY, time(19), BERLIN)
    hands = live_in(replace(house(), chores=(*small_house().chores, lapsing)), now=evening)
    hands.go_to("feed")
    assert "The feeding of 07:00 was not written down. If it was given, log it." in hands.why.reason

    form = _open(hands, "f")

    assert _offered(form) == ["Feed 18:00", "Feed 07:00", "Nothing, it is extra"]
    assert form.feeding.completes.currentText() == "Feed 18:00"
    hands.press("Tab", "Tab", "Down")
    assert form.feeding.told.text() == "This ticks Feed 07:00, which was not written down."
    hands.press("Down")
    assert form.feeding.told.text() == "This ticks nothing. Feed 18:00 stays open."
    hands.press("Up", "Return")
    assert hands.log()[0].entry.completes[0].slot == time(7)
    assert hands.log()[0].entry.completes[0].key == "2026-03-12"


def _today(hands: Hands) -> str:
    """Return what the month tells of today."""
    weeks = month_of(hands).sheet.weeks
    return next(one.sentence for week in weeks for one in week if one.day == THURSDAY)


def test_a_feeding_that_lapsed_today_is_told_once_the_later_one_is_ticked(live_in: LiveIn) -> None:
    """That evening somebody would still know: its line says so, the month and the form."""
    hours = Calendar("FREQ=DAILY", date(2026, 3, 1), (time(7), time(18)))
    lapsing = replace(FEED, rhythm=hours, if_missed=IfMissed.EXPIRE)
    before = an_entry(1, "2026-03-11", tank="reef", done="wipe")
    evening = datetime.combine(THURSDAY, time(19), BERLIN)
    chores = (*small_house().chores, lapsing)
    hands = live_in(replace(house(), chores=chores), now=evening, entries=(before,))
    hands.go_to("feed")
    hands.press("Space")
    hands.go_to("feed")

    assert "The feeding of 07:00 was not written down. If it was given, log it." in hands.why.reason
    hands.press("Ctrl+2")
    assert "1 not done" in _today(hands)
    hands.press("Ctrl+1")
    hands.go_to("feed")
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    assert form.feeding.told.text() == "This ticks Feed 07:00, which was not written down."
    hands.press("Return")
    assert hands.log()[0].entry.completes[0].slot == time(7)
    hands.press("Ctrl+2")
    assert "not done" not in _today(hands)


def test_amount_and_food_of_a_feeding_are_kept(live_in: LiveIn) -> None:
    """Grams with the chore; what is not weighed, and what was extra, in the words of the note."""
    hands = live_in(house())
    hands.go_to("feed")
    form = _open(hands, "f")
    hands.press("Tab", "Tab", "Tab")
    assert hands.focus() is form.feeding.amount.field
    hands.type("0,5 g")
    hands.press("Tab")
    hands.type("mysis")
    hands.press("Return")
    entry = hands.log()[0].entry
    assert (entry.fact, entry.note) == (Work(grams=0.5), "mysis")

    form = _open(hands, "f")
    form.feeding.amount.setFocus()
    hands.type("2 cubes")
    hands.press("Tab")
    hands.type("krill")
    hands.press("Return")
    assert hands.log()[0].entry.note == "2 cubes of krill"
    assert hands.told == "Fed Reef once more, beside the plan."

    hands.go_to("fill")
    form = _open(hands, "f")
    form.feeding.amount.setFocus()
    hands.type("0.2")
    form.feeding.food.setText("krill")
    form.note.setText("they beg")
    hands.press("Return")
    entry = hands.log()[0].entry
    assert (entry.fact, entry.tank) == (Note(), "nook")
    assert entry.note == "Extra feeding, 0.2\u00a0g of krill. they beg"


@pytest.mark.parametrize("typed", ["-2", "-2 cubes", "0", "2 2", "..", "1e99", "2 gg", "as ever"])
def test_an_amount_of_food_that_is_none_is_refused_in_place(live_in: LiveIn, typed: str) -> None:
    """What was typed stays."""
    hands = live_in(house())
    hands.go_to("feed")
    form = _open(hands, "f")
    form.feeding.amount.setFocus()
    hands.type(typed)

    hands.press("Return")

    assert form.feeding.amount.fault
    assert form.feeding.amount.text == typed
    assert hands.log() == []


def test_a_feeding_without_an_amount_was_what_its_chore_states(live_in: LiveIn) -> None:
    """As when it is ticked in the round, and the form shows it beforehand."""
    stated = replace(FEED, amount=Amount(0.6, AmountUnit.GRAMS))
    hands = live_in(replace(house(), chores=(*small_house().chores, stated)))
    hands.go_to("feed")
    form = _open(hands, "f")
    assert form.feeding.amount.field.placeholderText() == "0.6\u00a0g as planned"

    hands.press("Return")

    assert _fact(hands) == Work(grams=0.6)


@pytest.mark.parametrize("has_log", [True, False], ids=["log", "tick"])
@pytest.mark.parametrize(
    ("stated", "typed", "asked"),
    [
        (
            Amount(0.6, AmountUnit.GRAMS),
            "6",
            "6\u00a0g is far more than the 0.6\u00a0g proposed. Keep it if so much was fed.",
        ),
        (
            Amount(1.0, AmountUnit.PIECES),
            "ten cubes",
            "10 cubes are far more than the 1\u00a0piece proposed. Keep it if so much was fed.",
        ),
    ],
    ids=["grams", "pieces"],
)
def test_a_feeding_far_above_its_plan_is_asked_about_once(
    live_in: LiveIn, *, has_log: bool, stated: Amount, typed: str, asked: str
) -> None:
    """Ten times as much is a slip of the point, or meant: kept when it is kept again."""
    planned = replace(FEED, amount=stated)
    hands = live_in(replace(house(), chores=(*small_house().chores, planned)))
    hands.go_to("feed")
    form: LogForm | TickForm = _open(hands, "f") if has_log else _open_tick(hands)
    given = form.feeding if isinstance(form, LogForm) else form.given
    assert given is not None
    given.amount.field.setText(typed)

    hands.press("Ctrl+Return")
    assert form.accessibleDescription() == asked
    assert hands.log() == []
    hands.press("Ctrl+Return")

    assert len(hands.log()) == 1


def test_a_feeding_a_little_above_its_plan_is_not_asked_about(live_in: LiveIn) -> None:
    """Three times as much may be; what is counted small is no count of pieces."""
    planned = replace(FEED, amount=Amount(1.0, AmountUnit.PIECES))
    hands = live_in(replace(house(), chores=(*small_house().chores, planned)))
    hands.go_to("feed")
    form = _open_tick(hands)
    assert form.given is not None
    for typed in ("3 cubes", "30 pellets"):
        form.given.amount.field.setText(typed)
        assert form._question() == ""


def test_a_feeding_of_the_round_has_an_amount_too(live_in: LiveIn) -> None:
    """Return opens the form on it, Space asks nothing; both tick."""
    stated = replace(FEED, amount=Amount(0.6, AmountUnit.GRAMS))
    hands = live_in(replace(house(), chores=(*small_house().chores, stated)))
    hands.go_to("feed")
    hands.press("Return")
    form = hands.form()
    assert isinstance(form, TickForm)
    assert form.given is not None
    assert hands.focus() is form.given.amount.field
    assert form.given.amount.field.placeholderText() == "0.6\u00a0g as planned"
    hands.type("2 2")
    hands.press("Return")
    assert form.given.amount.fault
    hands.press("Ctrl+A")
    hands.type("2 cubes")
    hands.press("Tab")
    hands.type("mysis")
    form.note.setText("they beg")
    hands.press("Return")

    entry = hands.log()[0].entry
    assert (entry.fact, entry.note) == (None, "2 cubes of mysis. they beg")
    assert hands.state("feed") is State.DONE
    hands.press("Ctrl+Z")
    assert hands.state("feed") is not State.DONE

    hands.go_to("feed")
    hands.press("Return")
    hands.type("0,5 g")
    hands.press("Tab")
    hands.type("krill")
    hands.press("Return")
    entry = hands.log()[0].entry
    assert (entry.fact, entry.note) == (Work(grams=0.5), "krill")
    hands.press("Ctrl+Z")

    hands.go_to("feed")
    hands.press("Space")
    assert not hands.has_form()
    assert _fact(hands) == Work(grams=0.6)


def test_a_change_ticks_the_open_one_unless_it_is_less_than_half(live_in: LiveIn) -> None:
    """4.4 L is less than half of the 9 L proposed; who chooses is followed."""
    hands = live_in(house())
    hands.go_to("change")
    form = _open(hands, "w")
    assert _offered(form, of_change=True) == ["Change water", "Nothing, it is extra"]
    assert form.ticks.told.text() == (
        "This ticks Change water, as in the round. Choose Nothing where it is extra."
    )

    form.litres.setFocus()
    hands.type("4.4")
    assert form.ticks.told.text() == "This ticks nothing. Change water stays open."
    assert form.ticks.completes.accessibleDescription() == form.ticks.told.text()
    form.ticks.completes.setFocus()
    hands.press("Up")
    form.litres.setFocus()
    hands.type("1")
    assert form.ticks.which == "change@first"
    form.litres.field.setText("4.4")
    form.ticks.completes.setFocus()
    hands.press("Down", "Ctrl+Return")

    assert hands.log()[0].entry.completes == ()
    assert hands.state("change") is not State.DONE
    form = _open(hands, "w")
    form.litres.setFocus()
    hands.type("4.5")
    hands.press("Ctrl+Return")
    assert hands.told.endswith("That ticks Change water. Next on Thu\u00a019.")
    assert hands.state("change") is State.DONE

    form = _open(hands, "w")
    assert form.ticks.told.text() == (
        "No water change of Reef is open now. This one stands beside the plan."
    )
    form.litres.setFocus()
    hands.type("9")
    hands.press("Ctrl+Return")
    assert hands.log()[0].entry.completes == ()


def test_a_dose_ticks_that_of_its_substance(live_in: LiveIn) -> None:
    """Of two that are open, and less than half of its 12 g ticks none."""
    takes = Amount(12.0, AmountUnit.GRAMS)
    lime, buffer = (
        chore(name, name.capitalize(), 12, kind=ChoreKind.DOSE, amount=takes)
        for name in ("lime", "buffer")
    )
    hands = live_in(replace(house(), chores=(lime, buffer)))
    hands.go_to("lime")
    form = _open(hands, "d")
    assert form.ticks.which is None

    form.substance.field.setText("Alkalinity buffer")
    assert form.ticks.which == "buffer@first"
    form.grams.field.setText("5")
    assert form.ticks.which is None
    form.grams.field.setText("6")
    hands.press("Ctrl+Return")

    assert [one.chore for one in hands.log()[0].entry.completes] == ["buffer"]


def test_a_dose_of_another_substance_ticks_nothing(live_in: LiveIn) -> None:
    """What is ticked follows the substance, also where only one dose is open."""
    dose = chore("dose", "Dose bicarbonate", 12, kind=ChoreKind.DOSE)
    hands = live_in(replace(house(), chores=(dose,)))
    hands.go_to("dose")
    form = _open(hands, "d")
    form.substance.setFocus()
    hands.type("bicarbonate")
    assert form.ticks.which == "dose@first"
    hands.press("Ctrl+A")
    hands.type("kalk")
    assert form.ticks.which is None
    assert form.ticks.told.text() == "This ticks nothing. Dose bicarbonate stays open."
    form.grams.setFocus()
    hands.type("3")
    hands.press("Return")

    assert not hands.has_form()
    assert hands.log()[0].entry.completes == ()
    assert hands.state("dose") is not State.DONE


def _offered(form: LogForm, *, of_change: bool = False) -> list[str]:
    choice = form.ticks.completes if of_change else form.feeding.completes
    assert choice.isVisible()
    return [choice.itemText(at) for at in range(choice.count())]


def _fed_at(*slots: time) -> Household:
    """Return the house with a feeding at these hours, and another without an hour."""
    hourly = replace(FEED, rhythm=Calendar("FREQ=DAILY", date(2026, 3, 12), slots))
    algae = replace(FEED, id="algae", name="Hang an algae sheet")
    return replace(house(), chores=(*small_house().chores, hourly, algae))


@pytest.mark.parametrize(
    ("slots", "offered"),
    [
        ([7], ["Feed 07:00", "Hang an algae sheet", "Nothing, it is extra"]),
        ([5, 6], ["Feed 06:00", "Feed 05:00", "Hang an algae sheet", "Nothing, it is extra"]),
        ([18], ["Hang an algae sheet", "Feed 18:00", "Nothing, it is extra"]),
        ([8], ["Feed 08:00", "Hang an algae sheet", "Nothing, it is extra"]),
    ],
)
def test_a_feeding_of_the_same_hour_is_most_likely_that_one(
    live_in: LiveIn, slots: list[int], offered: list[str]
) -> None:
    """Four past seven is the feeding of seven, and near eight; six this evening comes last."""
    hands = live_in(_fed_at(*(time(hour) for hour in slots)))
    hands.go_to("feed")

    form = _open(hands, "f")

    assert _offered(form) == offered
    assert form.feeding.completes.currentIndex() == 0


def test_a_feeding_to_come_today_can_be_ticked_as_by_space(live_in: LiveIn) -> None:
    """It stands in the round as due; it is not proposed so long before its hour."""
    lone = replace(FEED, rhythm=Calendar("FREQ=DAILY", date(2026, 3, 12), (time(18),)))
    hands = live_in(replace(house(), chores=(*small_house().chores, lone)))
    hands.go_to("feed")
    form = _open(hands, "f")
    assert _offered(form) == ["Feed 18:00", "Nothing, it is extra"]
    assert form.feeding.told.text() == "This ticks nothing. Feed 18:00 stays open."

    hands.press("Tab", "Tab", "Up", "Return")

    assert [one.slot for one in hands.log()[0].entry.completes] == [time(18)]
    assert hands.state("feed") is State.DONE


@pytest.mark.parametrize(
    ("given", "ticked"),
    [("0.5 g", "feed"), ("1 sheet", "algae"), ("", "algae"), ("a pinch", "algae")],
)
def test_what_was_given_tells_which_feeding_it_was(
    live_in: LiveIn, given: str, ticked: str
) -> None:
    """A sheet is not weighed; with nothing typed it is the one that is open by now."""
    hourly = replace(
        FEED,
        rhythm=Calendar("FREQ=DAILY", date(2026, 3, 12), (time(18),)),
        amount=Amount(0.5, AmountUnit.GRAMS),
    )
    algae = replace(FEED, id="algae", amount=Amount(1.0, AmountUnit.PIECES))
    hands = live_in(replace(house(), chores=(hourly, algae)))
    form = _open(hands, "f")

    hands.press("Tab", "Tab", "Tab")
    assert hands.focus() is form.feeding.amount.field
    hands.type(given)

    hands.press("Ctrl+Return")
    assert [one.chore for one in hands.log()[0].entry.completes] == [ticked]


def test_what_was_chosen_by_hand_stays_whatever_is_typed(live_in: LiveIn) -> None:
    """An amount proposes; it does not choose for somebody."""
    weighed = replace(FEED, amount=Amount(0.5, AmountUnit.GRAMS))
    hands = live_in(replace(house(), chores=(weighed, replace(FEED, id="other", name="Other"))))
    form = _open(hands, "f")
    hands.press("Tab", "Tab", "End", "Tab")

    hands.type("0.5 g")

    assert form.feeding.which is None


def test_of_two_open_hours_the_chosen_one_is_ticked(live_in: LiveIn) -> None:
    """Not the one that waited longest."""
    hands = live_in(_fed_at(time(5), time(6)))
    hands.go_to("feed")
    _open(hands, "f")

    hands.press("Return")

    assert [one.slot for one in hands.log()[0].entry.completes] == [time(6)]


def test_the_chores_follow_the_tank_and_the_time(live_in: LiveIn) -> None:
    """Another tank has none; of another day all are offered, and one that was missed proposed."""
    hands = live_in(_fed_at(time(18)))
    hands.go_to("feed")
    form = _open(hands, "f")

    form.tank.setCurrentIndex(form.tank.findText("Nook"))
    assert _offered(form) == ["Nothing, it is extra"]
    form.tank.setCurrentIndex(form.tank.findText("Reef"))
    form.when.choice.setCurrentIndex(1)
    assert _offered(form) == ["Nothing, it is extra", "Feed", "Hang an algae sheet"]
    # Of that day nobody wrote it down; what was open then is not known of any other.
    assert form.feeding.completes.currentText() == "Hang an algae sheet"
    form.feeding.completes.setCurrentIndex(0)
    assert form.feeding.told.text() == "This ticks nothing."
    form.feeding.completes.setCurrentIndex(2)
    assert form.feeding.told.text() == (
        "This ticks Hang an algae sheet of Wednesday\u00a011, unless that was written down."
    )
    hands.press("Ctrl+Return")

    assert hands.told.replace("\u00a0", " ").startswith("Fed Reef, on Wednesday 11 March. ")
    assert [one.chore for one in hands.log()[0].entry.completes] == ["algae"]


def test_a_chore_that_was_chosen_stays_when_the_time_is_chosen_after_it(live_in: LiveIn) -> None:
    """The fields stand in that order; today it is a turn, of another day the chore."""
    hands = live_in(_fed_at(time(18)))
    hands.go_to("feed")
    form = _open(hands, "f")
    place = form.feeding.completes.findText("Hang an algae sheet")
    form.feeding.completes.setCurrentIndex(place)

    for when in (2, 1, 0):
        form.when.choice.setCurrentIndex(when)
        assert form.feeding.completes.currentText() == "Hang an algae sheet"

    form.feeding.completes.setCurrentIndex(form.feeding.completes.findText("Nothing, it is extra"))
    form.when.choice.setCurrentIndex(1)
    assert form.feeding.which is None


def test_a_note_can_be_about_the_household(live_in: LiveIn) -> None:
    """Return keeps it, as in any form; Shift+Return makes a new line in the text."""
    hands = live_in(house())
    form = _open(hands, "n")
    form.tank.setCurrentIndex(form.tank.count() - 1)
    form.text.setFocus()
    hands.type("Power cut at six")
    hands.press("Return")

    entry = hands.log()[0].entry
    assert (entry.fact, entry.tank, entry.note) == (Note(), None, "Power cut at six")


@pytest.mark.parametrize("letter", ["t", "w", "d", "r"])
def test_what_is_missing_is_told_at_its_field(live_in: LiveIn, letter: str) -> None:
    """Return on an empty form keeps nothing and goes to the field that is wanted."""
    hands = live_in(house())
    form = _open(hands, letter)

    hands.press("Return")

    assert hands.form() is form
    assert (
        QAccessible.queryAccessibleInterface(hands.focus())
        .text(QAccessible.Text.Description)
        .startswith("Write down")
    )
    assert hands.log() == []


def test_too_much_is_refused_at_the_litres(live_in: LiveIn) -> None:
    """More than a quarter of the water cannot have evaporated; the sentence stands at the field."""
    hands = live_in(house())
    hands.go_to("fill")
    form = _open(hands, "t")
    form.litres.setFocus()
    hands.type("5000")

    hands.press("Return")

    assert form.litres.fault
    assert form.litres.text == "5000"
    assert hands.focus() is form.litres.field


def test_who_and_when_are_kept(live_in: LiveIn) -> None:
    """A day back stands in the same list as in the form of a tick."""
    hands = live_in(house())
    form = _open(hands, "t")
    form.litres.setFocus()
    hands.type("1")
    form.who.setFocus()
    hands.type("b")
    form.when.choice.setFocus()
    hands.type("y")
    hands.press("Return")

    entry = hands.log()[0].entry
    assert (entry.by, entry.day) == ("bo", date(2026, 3, 11))


def test_what_belongs_to_another_kind_is_hidden_and_tab_passes_it_over(live_in: LiveIn) -> None:
    """Tab goes through the fields from top to bottom."""
    hands = live_in(house())
    form = _open(hands, "t")
    passed = []
    for _ in range(7):
        passed.append(hands.focus())
        hands.press("Tab")

    assert passed == [
        form.what,
        form.tank,
        form.litres.field,
        form.extent,
        form.who,
        form.when.choice,
        form.note,
    ]
    assert not form.salinity.isVisible()


@pytest.mark.parametrize("what", list(What))
@pytest.mark.parametrize(("scheme", "percent"), [(Scheme.LIGHT, 100), (Scheme.DARK, 150)])
def test_every_kind_fits_and_speaks(
    live_in: LiveIn, wear: Wear, what: What, scheme: Scheme, percent: int
) -> None:
    """No text is cut, nothing overlaps, every stop has a name, and it fits a small screen."""
    hands = live_in(house())
    wear(scheme, percent)
    form = _open(hands)
    form.choose(what)
    hands.settle()

    assert cut_labels(form) == []
    assert overlapping(form) == []
    assert nameless(form) == []
    assert form.height() <= 800


def test_a_household_that_can_only_be_read_opens_no_form(live_in: LiveIn) -> None:
    """The bottom line says so instead."""
    hands = live_in(house())
    session = hands.window.session
    assert session is not None
    assert session.last is not None
    session._last = replace(session.last, is_read_only=True)

    hands.press("Ctrl+L")

    assert not hands.has_form()
    assert "only be read" in hands.told


@pytest.mark.parametrize(
    ("what", "told"),
    [
        (What.NOTE, "Note kept, on Wednesday 11\u00a0March."),
        (What.FEEDING, "Fed Nook once more, beside the plan, on Wednesday 11\u00a0March."),
    ],
)
def test_what_is_written_down_for_another_day_is_told_with_it(
    live_in: LiveIn, what: What, told: str
) -> None:
    """A day that was chosen by mistake is seen at once."""
    hands = live_in(house())
    hands.go_to("fill")
    form = _open(hands)
    form.choose(what)
    form.text.setPlainText("the pump hums")
    form.when.choice.setCurrentIndex(1)

    hands.press("Ctrl+Return")

    assert hands.told == told


def test_what_happened_today_is_told_without_its_day(live_in: LiveIn) -> None:
    """Even at an earlier hour of today, that is typed."""
    hands = live_in(house())
    form = _open(hands)
    form.choose(What.NOTE)
    form.text.setPlainText("the pump hums")
    form.when.ask()
    form.when.other.set_text("12/03/2026 05:00")

    hands.press("Ctrl+Return")

    assert hands.told == "Note kept."


def test_a_water_change_says_of_which_water_the_salinity_is_and_does_without(
    live_in: LiveIn,
) -> None:
    """What the line asks stands in it, for the ear, too; left empty it is not known."""
    hands = live_in(house())
    form = _open(hands, "w")
    assert form.salinity.field.placeholderText() == "of the new water, if it is known"
    assert form.salinity.field.accessibleDescription() == form.salinity.field.placeholderText()

    form.litres.setFocus()
    hands.type("9")
    hands.press("Return")

    assert _fact(hands) == WaterChange(9.0)


def test_the_form_is_as_high_as_what_it_asks(live_in: LiveIn) -> None:
    """Higher or lower with what is chosen; no gap is left above the fields."""
    hands = live_in(house())
    hands.go_to("feed")
    form = _open(hands)
    tops = set()

    for what in (What.WATER_CHANGE, What.FEEDING, What.READINGS, What.TOP_OFF, What.NOTE):
        form.choose(what)
        hands.settle()
        assert form.height() == form.column.totalHeightForWidth(form.width())
        tops.add(form.area.y())

    assert len(tops) == 1


def test_refusals_never_make_the_form_higher_than_the_window_and_leave_no_gap(
    live_in: LiveIn,
) -> None:
    """However many values are refused; once they are mended it is as high as before."""
    hands = live_in(house())
    form = _open(hands, "r")
    before = form.height()
    fields = list(form.readings.fields.values())
    for field in fields:
        field.field.setFocus()
        hands.type("99999")
    hands.press("Ctrl+Return")
    assert all(field.fault for field in fields)
    assert before < form.height() <= 800
    for field in fields:
        field.field.setFocus()
        hands.hit("Ctrl+A")
        hands.hit("Delete")
    # Sentence, table and form are laid out one after the other.
    for _ in range(3):
        hands.settle()
    assert form.height() == before


@pytest.mark.painted
def test_the_text_of_a_note_has_its_whole_ring_once_the_keys_are_in_it(live_in: LiveIn) -> None:
    """By itself Qt draws only the line of the cursor anew; a long text moves within the ring."""
    hands = live_in()
    form = _open(hands, "n")
    hands.settle()
    assert not form.text.hasFocus()
    drawn: list[QRect] = []

    class Watch(QObject):
        def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
            if isinstance(event, QPaintEvent):
                drawn.append(event.rect())
            return False

    viewport, watch = form.text.viewport(), Watch()
    viewport.installEventFilter(watch)

    while not form.text.hasFocus():
        drawn.clear()
        hands.press("Tab")
    assert viewport.rect() in drawn

    drawn.clear()
    hands.press(*["Shift+Return"] * 20)
    assert form.text.verticalScrollBar().value() > 0
    assert viewport.rect() in drawn

    drawn.clear()
    hands.press("Tab")
    assert not form.text.hasFocus()
    assert viewport.rect() in drawn


def test_a_note_names_the_key_that_keeps_it(live_in: LiveIn) -> None:
    """Shift+Return begins a line there; where there is one alone, nothing has to be said."""
    hands = live_in()
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    assert not form.keys.isVisible()

    form.what.setFocus()
    hands.press("End")

    assert form.chosen is What.NOTE
    assert form.keys.isVisible()
    assert form.keys.text() == "Return keeps it, Shift+Return begins a new line."
