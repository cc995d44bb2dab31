"""One more tank, asked for as the first one was, with the chores that suit it."""

from __future__ import annotations

from datetime import date

from tankkeeper.core.chores import Amount, AmountUnit, Calendar, ChoreKind
from tankkeeper.core.household import Household
from tankkeeper.gui.models.log_rows import LogWish
from tankkeeper.gui.pages.first_page import FirstPage
from tankkeeper.reports.log_words import word_hits
from tankkeeper.services.log_pages import PAGE
from tankkeeper.services.log_search import LogSearch
from tests.gui.conftest import LiveIn
from tests.gui.first_house import first_page, type_box
from tests.gui.round_house import Hands, chore, small_house


def house(hands: Hands) -> Household:
    assert hands.window.session is not None
    with hands.window.session.desk.store.reading() as reading:
        return hands.window.session.desk.household(reading)


def stands(hands: Hands) -> bool:
    pages = hands.frame.findChildren(FirstPage)
    return any(page.isVisible() for page in pages)


def test_a_second_tank_comes_with_its_chores_and_goes_with_one_undo(live_in: LiveIn) -> None:
    """It stands last in the walk, is chosen in the rail, and its chores stand in the round."""
    hands = live_in()
    before = house(hands)

    hands.press("Ctrl+Shift+N")
    type_box(hands, ("Bay", "59", "39", "40", "36"))
    hands.press("Ctrl+Return")

    now = house(hands)
    assert [tank.name for tank in now.tanks] == ["Reef", "Nook", "Bay"]
    assert now.tank("bay").walk_order == 3
    own = [chore for chore in now.chores if chore.tank == "bay"]
    assert len(own) > 8
    assert {chore.tank for chore in now.chores} == {"reef", "nook", "bay", None}
    assert hands.frame.rail.chosen_id == "bay"
    assert any(row.item.chore.name == "Feed" for row in hands.rows())
    assert hands.told == "Added the tank Bay. Ctrl+Home: the whole house."
    hands.press("Ctrl+Home")
    assert {row.item.chore.tank for row in hands.rows()} >= {"reef", "nook", "bay"}
    hands.press("Ctrl+Z")
    assert house(hands) == before
    assert "whole house" not in hands.told


def test_what_follows_another_tank_is_told(live_in: LiveIn) -> None:
    """The water of a tank that is changed each week is mixed each week."""
    start = date(2026, 3, 6)
    mix = chore(
        "mix",
        "Mix salt water",
        None,
        tank=None,
        kind=ChoreKind.MIX_SALT_WATER,
        rhythm=Calendar("FREQ=WEEKLY;INTERVAL=2;BYDAY=FR", start),
    )
    change = chore(
        "change",
        "Change water",
        None,
        kind=ChoreKind.WATER_CHANGE,
        amount=Amount(10.0, AmountUnit.LITRES),
        rhythm=Calendar("FREQ=WEEKLY;INTERVAL=2;BYDAY=SA", date(2026, 3, 7)),
    )
    hands = live_in(small_house(chores=(mix, change)))

    hands.press("Ctrl+Shift+N")
    type_box(hands, ("Cube", "30", "30", "30", "27"))
    hands.press("Ctrl+Return")

    now = next(one for one in house(hands).chores if one.id == "mix")
    assert now.rhythm != mix.rhythm
    assert hands.told == (
        "Added the tank Cube. Mix salt water follows: every Friday. Ctrl+Home: the whole house."
    )
    hands.press("Ctrl+Z")
    assert "follows" not in hands.told


def test_what_the_household_has_already_is_not_proposed_again(live_in: LiveIn) -> None:
    """Chores of the house stand once, however many tanks there are."""
    hands = live_in()
    for name in ("Bay", "Cove"):
        hands.press("Ctrl+Shift+N")
        type_box(hands, (name, "59", "39", "40", "36"))
        hands.press("Ctrl+Return")

    names = [chore.name for chore in house(hands).chores if chore.tank is None]
    assert len(names) == len(set(names))


def test_a_name_that_is_taken_is_refused_at_its_field(live_in: LiveIn) -> None:
    """The page stays with all that was typed."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    type_box(hands, ("nook", "59", "39", "40", "36"))
    hands.press("Ctrl+Return")

    page = first_page(hands.window)
    assert page.asked.name.fault == ("There is a tank called nook already. Choose another name.")
    assert page.asked.measures.measure("length_cm").text == "59"
    hands.press("Esc")
    assert not stands(hands)
    assert hands.list.isVisible()
    assert hands.log() == []


def test_the_room_that_is_named_is_one_that_is_there(live_in: LiveIn) -> None:
    """Told apart by letters, whatever their size; a new name is a new room."""
    hands = live_in()
    rooms = [room.name for room in house(hands).rooms]
    hands.press("Ctrl+Shift+N")
    page = first_page(hands.window)
    assert page.asked.room.text == rooms[0]
    page.asked.room.set_text("laundry")
    type_box(hands, ("Bay", "59", "39", "40", "36"))
    hands.press("Ctrl+Return", "Ctrl+Shift+N")
    page = first_page(hands.window)
    page.asked.room.set_text("LAUNDRY")
    type_box(hands, ("Cove", "59", "39", "40", "36"))
    hands.press("Ctrl+Return")

    now = house(hands)
    assert [room.name for room in now.rooms] == [*rooms, "laundry"]
    assert now.tank("bay").room == now.tank("cove").room == "laundry"


def test_a_household_without_a_tank_asks_for_one_at_once(live_in: LiveIn) -> None:
    """Who goes back finds what else can be done, and is not asked again."""
    hands = live_in(Household("Quay 3", "Europe/Berlin"))
    assert stands(hands)
    assert first_page(hands.window).asked.name.field.hasFocus()

    hands.press("Esc")
    assert not stands(hands)
    assert hands.window.session is not None
    hands.window.session.refresh()
    hands.settle()
    assert not stands(hands)

    hands.press("Ctrl+Shift+N")
    type_box(hands, ("Bay", "59", "39", "40", "36"))
    hands.press("Ctrl+Return")
    assert [tank.name for tank in house(hands).tanks] == ["Bay"]
    assert hands.list.isVisible()
    assert [card.id for card in hands.frame.rail.cards] == [None, "bay"]


def test_the_key_of_the_tank_page_asks_where_there_is_no_tank(live_in: LiveIn) -> None:
    """F2 has nothing to show otherwise."""
    hands = live_in(Household("Quay 3", "Europe/Berlin"))
    hands.press("Esc", "F2")
    assert stands(hands)


def test_rock_sump_and_reservoir_make_the_figures_and_the_chores(live_in: LiveIn) -> None:
    """Litres follow while typing; who has a reservoir fills it instead of topping off by hand."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    page = first_page(hands.window)
    type_box(hands, ("Bay", "59", "39", "40", "36"))
    alone = page.litres.text()
    for name, text in (("rock_dry_kg", "12"), ("sump_l", "20"), ("reservoir_l", "25")):
        page.asked.extras.measure(name).setFocus()
        hands.type(text)
    assert page.litres.text() != alone
    hands.press("Ctrl+Return")

    bay = house(hands).tank("bay")
    assert bay.displaced is not None
    assert bay.displaced.rock_dry_kg == 12.0
    assert bay.sump is not None
    assert (bay.sump.litres, bay.top_off.reservoir_l) == (20.0, 25.0)
    kinds = {chore.kind for chore in house(hands).chores if chore.tank == "bay"}
    assert ChoreKind.RESERVOIR in kinds
    assert ChoreKind.TOP_OFF not in kinds


def test_the_logbook_names_a_tank_whose_adding_was_taken_back(live_in: LiveIn) -> None:
    """Its rows keep the name that it had, not its id, and are found by it."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    type_box(hands, ("Long Bay", "59", "39", "40", "36"))
    hands.press("Ctrl+Return")
    hands.press("Ctrl+Z")

    read = hands.window.session.last
    assert read is not None
    wish = LogWish(1, LogSearch(), None, PAGE)
    rows = wish.read(hands.window.session.desk, read).rows
    hits = word_hits("long", read.sheet.words)

    assert [row.where for row in rows if row.found.entry.tank == "long-bay"] == ["Long Bay"] * 2
    assert "long-bay" not in " ".join(row.sentence for row in rows)
    assert hits[0].tanks == ("long-bay",)


def test_the_whole_house_begins_at_its_first_row_after_a_tank_was_added(live_in: LiveIn) -> None:
    """With the heading above it in sight; the first row of the new tank is far below."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    type_box(hands, ("Bay", "59", "39", "40", "36"))
    hands.press("Ctrl+Return")
    hands.window.shell.resize(1000, 480)
    hands.settle()

    hands.press("Ctrl+Home")

    assert hands.list.current_row().id == hands.rows()[0].id
    assert hands.list.verticalScrollBar().maximum() > 0
    assert hands.list.verticalScrollBar().value() == 0
