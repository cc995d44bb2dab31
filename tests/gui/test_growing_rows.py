"""Lists in a form grow by key: one more row stands as soon as the last one is filled."""

from dataclasses import replace
from datetime import date

from tankkeeper.core.chores import AmountUnit, Use
from tankkeeper.core.household import Animal, Loss, Supply
from tests.gui.conftest import LiveIn
from tests.gui.round_house import small_house
from tests.gui.setting_hands import go, save
from tests.gui.test_chores_page import choose, chore, desk_of, follows, open_chore, write

NAMES = ("Salt mix", "Soda", "Floss", "Carbon", "Vinegar")
SUPPLIES = tuple(Supply(name.split()[0].lower(), name, "g") for name in NAMES)


def rows_of(desk):
    return [path for path in desk.sheet.fields if path.endswith(".supply") and "uses." in path]


def test_five_supplies_of_a_chore_are_typed_by_key(live_in: LiveIn) -> None:
    """A row comes as the last is filled, Tab goes to it, and all of them are kept."""
    hands = live_in(small_house(supplies=SUPPLIES))
    desk = open_chore(hands, "Change water")
    assert rows_of(desk) == ["uses.0.supply"]
    for place, name in enumerate(NAMES):
        choose(hands, desk, f"uses.{place}.supply", name)
        assert len(rows_of(desk)) == place + 2
        go(hands, desk, f"uses.{place}.amount")
        write(hands, str(place + 1))
    hands.hit("Tab")
    hands.hit("Tab")
    assert desk.sheet.fields["uses.5.supply"].isAncestorOf(hands.focus())
    hands.press("Ctrl+Return")
    wanted = tuple(Use(one.id, place + 1.0, AmountUnit.GRAMS) for place, one in enumerate(SUPPLIES))
    assert chore(hands, "change").uses == wanted
    assert desk_of(hands).sheet is None

    hands.press("Esc", "Ctrl+Z")
    assert chore(hands, "change").uses == ()


def test_what_a_file_brought_stands_in_rows_and_one_of_them_is_taken_out(live_in: LiveIn) -> None:
    """Emptied rows go; the others keep their order."""
    house = small_house(supplies=SUPPLIES)
    uses = tuple(Use(one.id, 2.0, AmountUnit.GRAMS) for one in SUPPLIES[:4])
    chores = tuple(replace(one, uses=uses) if one.id == "change" else one for one in house.chores)
    hands = live_in(replace(house, chores=chores))
    desk = open_chore(hands, "Change water")
    assert len(rows_of(desk)) == 5
    assert not desk.sheet.is_changed
    go(hands, desk, "uses.3.amount")
    write(hands, "7,5")
    choose(hands, desk, "uses.1.supply", "None")
    go(hands, desk, "uses.1.amount")
    hands.hit("Ctrl+A")
    hands.hit("Delete")
    hands.press("Ctrl+Return")
    assert [(one.supply, one.amount) for one in chore(hands, "change").uses] == [
        ("salt", 2.0),
        ("floss", 2.0),
        ("carbon", 7.5),
    ]


def test_a_draft_with_more_rows_stands_again_in_as_many(live_in: LiveIn) -> None:
    """What could not be kept is put back row for row, also in rows that came by typing."""
    hands = live_in(small_house(supplies=SUPPLIES))
    desk = open_chore(hands, "Change water")
    for place, name in enumerate(NAMES[:4]):
        choose(hands, desk, f"uses.{place}.supply", name)
    go(hands, desk, "uses.3.amount")
    write(hands, "much")
    hands.press("Esc", "Esc", "Return")
    assert [desk.sheet.fields[path].choice.currentText() for path in rows_of(desk)] == [
        *NAMES[:4],
        "None",
    ]
    assert desk.sheet.fields["uses.3.amount"].typed.text == "much"


def test_what_is_lost_later_stands_beside_what_was_lost_before(live_in: LiveIn) -> None:
    """One row each, with its day and why; how many are left follows, and undo goes back."""
    first = Loss(date(2025, 11, 2), 1, "jumped")
    gobies = Animal("reef", "goby", 5, date(2025, 1, 5), (first,))
    hands = live_in(small_house(animals=(gobies,)))
    hands.press("Ctrl+Down", "F3")
    desk = desk_of(hands)
    desk.page.buttons["animals"].setFocus()
    hands.press("Space")
    line = desk.things.rows[0].line.replace("\u00a0", " ")
    assert line == "5 animals, added 5 January 2025, 1 lost 2 November, 4 left"
    hands.press("Return")
    go(hands, desk, "lost.1.count")
    write(hands, "2")
    assert follows(desk) == "Of 5 that came, 3 are lost and 2 left."
    go(hands, desk, "lost.1.on")
    write(hands, "2026-03-01")
    go(hands, desk, "lost.1.why")
    write(hands, "not seen again")
    assert "lost.2.count" in desk.sheet.fields
    save(hands, "animals-losses")
    hands.press("Ctrl+Return")
    (kept,) = hands.window.session.household.animals
    assert kept.lost == (first, Loss(date(2026, 3, 1), 2, "not seen again"))
    hands.press("Return")
    assert not desk.sheet.is_changed
    go(hands, desk, "lost.2.count")
    write(hands, "4")
    assert follows(desk) == "7 lost are more than the 5 that came."
    write(hands, "0")
    hands.press("Ctrl+Return")
    assert desk.sheet.fields["lost.2.count"].fault
    hands.hit("Ctrl+A")
    hands.hit("Delete")
    hands.press("Esc", "Esc", "Ctrl+Z")
    assert hands.window.session.household.animals == (gobies,)


def test_a_loss_that_is_emptied_goes(live_in: LiveIn) -> None:
    """The others keep their order, and what lives counts anew."""
    losses = (Loss(date(2025, 11, 2), 1, ""), Loss(None, 2, ""))
    hands = live_in(small_house(animals=(Animal("reef", "goby", 3, None, losses),)))
    hands.press("Ctrl+Down", "F3")
    desk = desk_of(hands)
    desk.page.buttons["animals"].setFocus()
    hands.press("Space")
    line = desk.things.rows[0].line.replace("\u00a0", " ")
    assert line == "3 animals, 3 lost, last on 2 November, none left"
    hands.press("Return")
    for name in ("count", "on"):
        go(hands, desk, f"lost.0.{name}")
        hands.hit("Ctrl+A")
        hands.hit("Delete")
    hands.press("Ctrl+Return")
    (kept,) = hands.window.session.household.animals
    assert (kept.lost, kept.left) == (losses[1:], 1)
