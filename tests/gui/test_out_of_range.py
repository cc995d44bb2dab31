"""A reading outside the range of its tank is told as it is kept, marked, and warned of."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest
from PySide6.QtCore import Qt

from tankkeeper.core.chores import Amount, AmountUnit, Calendar, Chore, ChoreKind, IfMissed
from tankkeeper.core.communities import Community
from tankkeeper.core.household import Household, OwnRange, Stage
from tankkeeper.core.logbook import Readings, TopOff
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.marks import Mark
from tankkeeper.gui.models.round_rows import HeadingRow
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.reminder_stops import NO_LINE
from tankkeeper.reports.numbers import plain
from tests.builders import an_entry
from tests.gui.conftest import LiveIn, Remind, Wear
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


def test_a_ticked_reading_tells_which_other_tests_it_did(live_in: LiveIn) -> None:
    """The line of the other one is struck through with it, and one undo brings back both."""
    small = house()
    more = chore(
        "two", "Test it again", 12, kind=ChoreKind.TEST, tank="nook", tests=("alkalinity",)
    )
    hands = live_in(replace(small, chores=(*small.chores, more)))
    hands.go_to("alk")
    hands.press("Return")
    hands.type("8")
    hands.press("Return")

    assert plain(hands.told).startswith(
        "Ticked Test alkalinity (Nook). Its readings tick Test it again, too."
    )
    assert hands.state("alk") is hands.state("two") is State.DONE
    hands.press("Ctrl+Z")
    assert hands.state("alk") is hands.state("two") is State.DUE


def test_the_foot_says_on_which_side_of_which_range_a_reading_lies(live_in: LiveIn) -> None:
    """In the same sentence as what was kept; inside there is nothing to say.

    It left its range, so that the next test is on Monday, after half of 7 days.
    """
    hands = live_in(house())

    read(hands, alkalinity="12")
    outside = plain(hands.told)
    read(hands, alkalinity="8")

    assert outside == (
        "Nook: read alkalinity 12 dKH, above its range of 7.5 to 8.5 dKH. "
        "That ticks Test alkalinity. Next on Mon 16."
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
        "Ticked Test alkalinity (Nook): alkalinity 12 dKH, above its range of 7.5 to 8.5 dKH. "
        "Next on Mon 16."
    )
    hands.press("Ctrl+Z")
    assert plain(hands.told).startswith("Undone: Ticked Test alkalinity (Nook)")


def test_the_why_panel_marks_the_value_and_shows_the_range(live_in: LiveIn) -> None:
    """By shape and word, among the figures and the last times, as it was measured."""
    hands = live_in(house())
    read(hands, alkalinity="12")
    hands.go_to("alk")
    hands.settle()

    numbers = {plain(label): plain(value) for label, value in hands.why.numbers}

    assert numbers["Alkalinity, today"] == f"{UP} 12 dKH, above"
    assert numbers["Alkalinity, range"] == "7.5 to 8.5 dKH"
    assert [plain(told) for _, told, _ in hands.why.last_times] == [f"{UP} 12 dKH, above"]


def test_a_test_comes_sooner_once_by_what_was_read_and_says_so(live_in: LiveIn) -> None:
    """Half of 7 days after Thursday is Monday; taken back, it is due today as before."""
    hands = live_in(house())
    hands.go_to("alk")
    hands.press("Space")
    hands.type("9")
    hands.press("Return")
    assert plain(hands.told).endswith("Next on Mon 16.")
    hands.go_to("alk")
    hands.settle()
    assert (
        "It comes sooner this time, after 4 days, since alkalinity was 9 dKH today, "
        "above its range of 7.5 to 8.5 dKH. Next on Mon 16."
    ) in plain(hands.why.reason)

    hands.press("Ctrl+Z")
    hands.settle()
    assert hands.state("alk") is State.DUE
    assert "sooner" not in hands.why.reason


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


def a_change() -> Chore:
    """Return a change of Nook's water that is in the round and can wait."""
    more = {"early_days": 4, "late_days": 4, "amount": Amount(6.0, AmountUnit.LITRES)}
    return chore("swap", "Change water", 14, kind=ChoreKind.WATER_CHANGE, tank="nook", **more)


def test_the_key_of_the_reminder_goes_to_what_helps_against_what_was_read(remind: Remind) -> None:
    """Each line of the banner is a stop, the newest first, and the count is of all lines.

    The test of ammonia was done by the reading: on its line Space would take it back.
    """
    daily = Calendar("FREQ=DAILY", date(2026, 3, 12), (time(9),))
    dose = chore("dose", "Dose", None, rhythm=daily, tank="reef", if_missed=IfMissed.EXPIRE)
    small = house_with_a_test()
    one = remind(replace(small, chores=(*small.chores, dose, a_change())))
    read(one.hands, ammonia="3", temperature="32")
    one.passes(timedelta(hours=2))
    assert len(one.reminder.splitlines()) == 3
    one.hands.go_to("wipe")

    gone_to = []
    for _ in range(4):
        one.hands.press("Ctrl+G")
        gone_to.append((one.hands.current(), one.hands.told))
        assert one.desk._session.tank_id is None  # type: ignore[union-attr]

    of_three = "{} of 3 in the reminder."
    assert gone_to == [
        ("dose", of_three.format(1)),
        ("swap", of_three.format(2)),
        ("swap", f"{of_three.format(3)} {NO_LINE}"),
        ("dose", of_three.format(1)),
    ]


def test_where_no_open_line_is_about_it_the_key_stays_and_says_so(remind: Remind) -> None:
    """What is done is no place to go to: the next Space would take it back."""
    one = remind(house())
    one.hands.go_to("lamp")
    one.hands.press("Space")
    read(one.hands, row="fill", nitrite="40")
    one.hands.go_to("wipe")

    one.hands.press("Ctrl+G")

    assert one.hands.told == NO_LINE
    assert one.hands.current() == "wipe"
    assert one.desk._session.tank_id is None  # type: ignore[union-attr]


def test_from_another_tank_the_key_leads_to_the_change_in_the_whole_house(
    remind: Remind,
) -> None:
    """The line stands with a tank that is not shown."""
    small = house()
    one = remind(replace(small, chores=(*small.chores, a_change())))
    read(one.hands, nitrite="40")
    assert one.hands.window.frame is not None
    one.hands.window.frame.rail.choose("reef")
    one.hands.settle()

    one.hands.press("Ctrl+G")

    assert one.hands.current() == "swap"


def test_a_tank_in_danger_is_not_said_to_have_nothing_due(live_in: LiveIn) -> None:
    """The rail names the reading, with the sign of a caution; the house says that there is one."""
    hands = live_in(house())
    read(hands, ammonia="2")
    for chore_id in ("look", "lamp", "fill", "alk"):
        hands.go_to(chore_id)
        hands.press("S")

    cards = {card.id: card for card in hands.frame.rail.cards}

    assert [plain(told) for told in cards["nook"].harms] == ["ammonia 2 mg/L"]
    assert "nothing due" not in cards["nook"].sentence
    assert cards["nook"].sentence.endswith("ammonia 2 mg/L")
    assert "1 harmful reading" in cards[None].sentence
    assert cards["reef"].harms == ()
    figures = hands.frame.rail._delegate._figures(cards["nook"])
    assert [one.mark for one in figures] == [Mark.CAUTION]

    read(hands, row="wipe", ammonia="0")
    read(hands, row="look", ammonia="0")
    again = {card.id: card for card in hands.frame.rail.cards}
    assert again["nook"].harms == ()


def test_the_change_says_that_it_helps_now_and_keeps_its_day(live_in: LiveIn) -> None:
    """By its rhythm it can wait; against the ammonia it need not."""
    small = house()
    hands = live_in(replace(small, chores=(*small.chores, a_change())))
    before = hands.row("swap")
    read(hands, ammonia="2")

    row = hands.row("swap")
    hands.go_to("swap")

    assert plain(before.state) == "can wait to Wed"
    assert plain(row.state) == "helps now, can wait to Wed"
    assert "helps now against the ammonia, by its rhythm can wait to" in row.sentence
    assert row.item.open is not None
    assert before.item.open is not None
    assert row.item.open.target == before.item.open.target
    reason = plain(hands.why.reason)
    assert "Ammonia was 2 mg/L today, above its range of 0 to 0.25 mg/L." in reason
    assert reason.endswith("A change now helps against the ammonia; by its rhythm it can wait.")


def test_a_reading_a_little_outside_is_told_by_its_test_and_by_its_dose(live_in: LiveIn) -> None:
    """For as long as it is the newest one; where it is better again nothing is said."""
    dose = chore("dose", "Dose bicarbonate", 12, kind=ChoreKind.DOSE, tank="nook")
    small = house()
    hands = live_in(replace(small, chores=(*small.chores, dose)))
    read(hands, alkalinity="7.2")
    told = "lkalinity was 7.2 dKH today, below its range of 7.5 to 8.5 dKH."

    hands.go_to("dose")
    assert f"A{told}" in plain(hands.why.reason)
    hands.go_to("alk")
    assert f"since a{told}" in plain(hands.why.reason)
    hands.go_to("lamp")
    assert "dKH" not in plain(hands.why.reason)

    read(hands, alkalinity="8")
    hands.go_to("dose")
    assert "dKH" not in plain(hands.why.reason)


def test_the_round_tells_a_reading_outside_until_a_later_one_is_inside(live_in: LiveIn) -> None:
    """Beside the name of its tank; here they were read on the morning before."""

    def nook(hands: Hands) -> HeadingRow:
        found = [one for one in hands.list.round_model.rows if isinstance(one, HeadingRow)]
        return next(one for one in found if one.name == "Nook")

    def heading(hands: Hands) -> tuple[str, str]:
        row = nook(hands)
        assert hands.list.itemDelegate().heading_texts(row)[1] in row.beside
        return plain(row.beside[0]), row.sentence

    values = (
        ReadingValue("alkalinity", 7.2, "dKH", 7.2),
        ReadingValue("ammonia", 2.0, "mg/L", 2.0),
    )
    yesterday = an_entry(1, "2026-03-11", Readings(values), tank="nook", at=time(7))
    hands = live_in(house(), entries=(yesterday,))

    told = "ammonia 2 mg/L above range, alkalinity 7.2 dKH below range yesterday"
    assert heading(hands) == (f"{told} · hall", f"Nook, {told}, hall, 25 minutes")
    assert [plain(one) for one in nook(hands).beside[1:]] == [
        told,
        "ammonia and alkalinity outside range · hall",
        "ammonia and alkalinity outside range",
        "2 readings outside range · hall",
        "2 readings outside range",
        "2 outside range · hall",
        "2 outside range",
    ]
    read(hands, alkalinity="8")
    read(hands, ammonia="0")

    assert heading(hands) == ("hall", "Nook, hall, 15 minutes")


def test_at_larger_type_the_heading_tells_the_readings_outside_uncut(
    live_in: LiveIn, wear: Wear
) -> None:
    """Cut, they told nothing of what is outside; without minutes there is the room of the line."""
    wear(Scheme.LIGHT, 150)
    values = (
        ReadingValue("alkalinity", 7.2, "dKH", 7.2),
        ReadingValue("ammonia", 2.0, "mg/L", 2.0),
    )
    yesterday = an_entry(1, "2026-03-11", Readings(values), tank="nook", at=time(7))
    hands = live_in(house(), entries=(yesterday,))
    found = [one for one in hands.list.round_model.rows if isinstance(one, HeadingRow)]
    row = next(one for one in found if one.name == "Nook")
    assert row.minutes

    delegate = hands.list.itemDelegate()
    places = [
        row.beside.index(delegate.heading_texts(one)[1]) for one in (row, replace(row, minutes=""))
    ]

    assert places[1] < places[0]


@pytest.mark.parametrize(
    ("fills", "told"),
    [
        (("2026-03-08",), "salinity 35.2 PSU above range yesterday · hall"),
        (("2026-03-08", "2026-03-12"), "hall"),
    ],
)
def test_a_salinity_that_fresh_water_has_brought_back_is_told_no_more(
    live_in: LiveIn, fills: tuple[str, ...], told: str
) -> None:
    """It was read before the fill; the range of the tank is 33 to 35 here.

    Of some 86 L a litre is gone each day: three of them make 35.2 PSU of 34, and 4 L take it back.
    """
    home = house()
    reef, nook = home.tanks
    ranges = (OwnRange("salinity", 33.0, 35.0, ""),)
    home = replace(home, tanks=(reef, replace(nook, ranges=ranges)))
    high = Readings((ReadingValue("salinity", 35.2, "", 35.2),))
    before = an_entry(1, "2026-03-11", high, tank="nook", at=time(7))
    filled = [
        an_entry(number, day, TopOff(4.0), tank="nook", at=time(6, 30))
        for number, day in enumerate(fills, start=2)
    ]
    hands = live_in(home, entries=sorted((before, *filled), key=lambda one: one.at))

    found = [one for one in hands.list.round_model.rows if isinstance(one, HeadingRow)]
    assert plain(next(one for one in found if one.name == "Nook").beside[0]) == told


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
    assert plain(one.hands.why.reason).endswith(
        "Ammonia above the range is expected while the tank cycles, so nothing warns of it. "
        "Next on Thu 19."
    )
    assert one.reminder == ""


def test_the_heading_of_a_tank_that_is_too_salty_tells_what_can_be_done(live_in: LiveIn) -> None:
    """Also on a day on which no line of its own is about salt: in its tool tip, and read aloud."""
    home = house()
    reef, nook = home.tanks
    ranges = (OwnRange("salinity", 33.0, 35.0, ""),)
    nook = replace(nook, ranges=ranges, target_salinity=34.0)
    high = Readings((ReadingValue("salinity", 36.5, "", 36.5),))
    rows = (
        an_entry(1, "2026-03-11", TopOff(1.0), tank="nook", at=time(7)),
        an_entry(2, "2026-03-11", high, tank="nook", at=time(7)),
    )
    hands = live_in(replace(home, tanks=(reef, nook)), entries=rows)

    model = hands.list.round_model
    found = next(
        at
        for at, one in enumerate(model.rows)
        if isinstance(one, HeadingRow) and one.name == "Nook"
    )
    index = model.index(found)

    way = "of fresh water in place of as much water of the full tank"
    assert way in plain(str(model.data(index, Qt.ItemDataRole.ToolTipRole)))
    assert way in model.rows[found].sentence
