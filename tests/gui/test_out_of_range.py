"""A reading outside the range of its tank is told as it is kept, marked, and warned of."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

from tankkeeper.core.chores import Calendar, ChoreKind, IfMissed
from tankkeeper.core.communities import Community
from tankkeeper.core.household import Household, OwnRange, Stage
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.reports.numbers import plain
from tests.gui.conftest import LiveIn, Remind
from tests.gui.round_house import Hands, chore, small_house

UP = "\N{BLACK UP-POINTING TRIANGLE}"


def house() -> Household:
    """Return the small house where Nook wants 7.5 to 8.5 dKH, with tests of what is read."""
    small = small_house()
    reef, nook = small.tanks
    ranges = (OwnRange("alkalinity", 7.5, 8.5, "dKH"),)
    nook = replace(nook, ranges=ranges, community=Community.SOFT_CORAL)
    kind = ChoreKind.TEST
    tests = (
        chore("alk", "Test alkalinity", 12, kind=kind, tank="nook", tests=("alkalinity",)),
        chore("nh", "Test ammonia", 20, kind=kind, tank="nook", tests=("ammonia",)),
    )
    return replace(small, tanks=(reef, nook), chores=(*small.chores, *tests))


def house_with_a_test() -> Household:
    """Return the same house with the test of ammonia in the round of today."""
    small, kind = house(), ChoreKind.TEST
    test = chore("nh", "Test ammonia", 12, kind=kind, tank="nook", tests=("ammonia",))
    others = tuple(one for one in small.chores if one.id != "nh")
    return replace(small, chores=(*others, test))


def read(hands: Hands, row: str = "lamp", **typed: str) -> None:
    """Write readings down by key, with a line of the tank selected."""
    hands.go_to(row)
    hands.press("Ctrl+L")
    hands.type("r")
    form = hands.form()
    assert isinstance(form, LogForm)
    for name, text in typed.items():
        form.readings.fields[name].setFocus()
        hands.type(text)
    hands.press("Return")
    if hands.has_form():
        # What is unlike the usual is asked about once.
        hands.press("Return")


def test_the_foot_says_on_which_side_of_which_range_a_reading_lies(live_in: LiveIn) -> None:
    """In the same sentence as what was kept; inside there is nothing to say."""
    hands = live_in(house())

    read(hands, alkalinity="12")
    outside = plain(hands.told)
    read(hands, alkalinity="8")

    assert outside == (
        "Nook: read alkalinity 12 dKH, above its range of 7.5 to 8.5 dKH. "
        "That ticks Test alkalinity."
    )
    assert plain(hands.told) == "Nook: read alkalinity 8 dKH."


def test_of_several_readings_each_outside_is_named(live_in: LiveIn) -> None:
    """The others are only repeated. Ranges of a soft coral tank: core/communities."""
    hands = live_in(house())

    read(hands, ammonia="3", nitrate="200", phosphate="0.1")

    assert plain(hands.told).startswith(
        "Nook: read ammonia 3 mg/L, above its range of 0 to 0.25 mg/L; nitrate 200 mg/L, "
        "above its range of 2 to 20 mg/L; phosphate 0.1 mg/L."
    )


def test_a_tick_tells_it_too(live_in: LiveIn) -> None:
    """With the value, which the form no longer shows."""
    hands = live_in(house())
    hands.go_to("alk")

    hands.press("Space")
    hands.type("12")
    # So far outside it is asked about first.
    hands.press("Return", "Return")

    assert plain(hands.told) == (
        "Ticked Test alkalinity (Nook): alkalinity 12 dKH, above its range of 7.5 to 8.5 dKH."
    )
    hands.press("Ctrl+Z")
    assert plain(hands.told).startswith("Undone: Ticked Test alkalinity (Nook)")


def test_the_why_panel_marks_the_value_and_shows_the_range(live_in: LiveIn) -> None:
    """By shape and word, among the figures and the last times."""
    hands = live_in(house())
    read(hands, alkalinity="12")
    hands.go_to("alk")
    hands.settle()

    numbers = {plain(label): plain(value) for label, value in hands.why.numbers}

    assert numbers["Alkalinity, today"] == f"{UP} 12.0 dKH, above"
    assert numbers["Alkalinity, range"] == "7.5 to 8.5 dKH"
    assert [plain(told) for _, told, _ in hands.why.last_times] == [f"{UP} 12 dKH, above"]


def test_last_times_tell_the_value_of_the_test_itself(live_in: LiveIn) -> None:
    """Whatever was read with it."""
    hands = live_in(house())
    read(hands, alkalinity="8", nitrate="5", ammonia="0")
    hands.go_to("alk")
    hands.settle()

    assert [plain(told) for _, told, _ in hands.why.last_times] == ["8 dKH"]


def test_ammonia_stands_in_the_banner_until_a_later_reading_is_inside(remind: Remind) -> None:
    """With what keepers do about it; an undo of the good reading brings it back."""
    one = remind(house())

    read(one.hands, ammonia="3")
    told = plain(one.reminder)
    one.passes(timedelta(hours=1))
    read(one.hands, ammonia="0.1")
    cleared = one.reminder
    one.hands.press("Ctrl+Z")

    assert told == (
        "Nook: ammonia 3 mg/L today, above its range of 0 to 0.25 mg/L. "
        "Test again within a day, feed less, look for a dead animal, and change water."
    )
    assert cleared == ""
    assert plain(one.reminder) == told


def test_a_high_nitrate_is_no_alarm(remind: Remind) -> None:
    """It harms slowly: the sentence of the foot is enough."""
    one = remind(house())

    read(one.hands, nitrate="200")

    assert one.reminder == ""


def test_the_key_of_the_reminder_goes_to_the_test_of_what_was_read(remind: Remind) -> None:
    """Each line of the banner is a stop, and the count is of all lines."""
    daily = Calendar("FREQ=DAILY", date(2026, 3, 12), (time(9),))
    dose = chore("dose", "Dose", None, rhythm=daily, tank="reef", if_missed=IfMissed.EXPIRE)
    small = house_with_a_test()
    one = remind(replace(small, chores=(*small.chores, dose)))
    read(one.hands, ammonia="3", nitrite="40")
    one.passes(timedelta(hours=2))
    assert len(one.reminder.splitlines()) == 3
    one.hands.go_to("wipe")

    gone_to = []
    for number in (1, 2, 3, 1):
        one.hands.press("Ctrl+G")
        gone_to.append((one.hands.current(), one.desk._session.tank_id))  # type: ignore[union-attr]
        assert one.hands.told == f"{number} of 3 in the reminder."

    nook_first = gone_to[1]
    assert gone_to == [("nh", None), (nook_first[0], "nook"), ("dose", None), ("nh", None)]
    rows = one.hands.list.item_rows()
    first_of_nook = next(row for row in rows if row.item.tank and row.item.tank.id == "nook")
    assert nook_first[0] == first_of_nook.item.chore.id


def test_from_another_tank_the_key_leads_to_the_tank_of_a_reading_without_a_test(
    remind: Remind,
) -> None:
    """Nothing in the round tests it, so the round is narrowed to its tank."""
    one = remind(house())
    read(one.hands, nitrite="40")
    assert one.hands.window.frame is not None
    one.hands.window.frame.rail.choose("reef")
    one.hands.settle()

    one.hands.press("Ctrl+G")

    rows = one.hands.list.item_rows()
    assert {row.item.tank.id for row in rows if row.item.tank} == {"nook"}
    assert one.hands.list.current_row() == rows[0]

    one.hands.list.go_to(one.hands.list.round_model.row_of(rows[-1].item.chore.id))
    one.hands.press("Ctrl+G")
    assert one.hands.list.current_row() == rows[0]


def test_from_another_tank_the_key_leads_to_the_test_in_the_whole_house(remind: Remind) -> None:
    """The line of the test stands with a tank that is not shown."""
    one = remind(house_with_a_test())
    read(one.hands, ammonia="3")
    assert one.hands.window.frame is not None
    one.hands.window.frame.rail.choose("reef")
    one.hands.settle()

    one.hands.press("Ctrl+G")

    assert one.hands.current() == "nh"


def test_ammonia_while_a_tank_cycles_is_told_to_be_expected(remind: Remind) -> None:
    """In the foot as it is kept and beside its test; the banner warns of nothing."""
    home = house_with_a_test()
    reef, nook = home.tanks
    one = remind(replace(home, tanks=(reef, replace(nook, stage=Stage.CYCLING))))

    read(one.hands, ammonia="2")

    assert plain(one.hands.told).startswith(
        "Nook: read ammonia 2 mg/L, above its range of 0 to 0.25 mg/L, "
        "expected while the tank cycles."
    )
    one.hands.go_to("nh")
    assert one.hands.why.reason.endswith(
        "Ammonia above the range is expected while the tank cycles, so nothing warns of it."
    )
    assert one.reminder == ""
