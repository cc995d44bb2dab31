"""What is paused is counted the same way everywhere, drawn with its water, and let go on by key."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtWidgets import QPushButton, QWidget

from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.household import Stage
from tankkeeper.core.turns import State
from tankkeeper.gui.models.round_rows import Figure, HeadingRow
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.round_head import RoundHead, with_more_to_come
from tankkeeper.reports.numbers import plain
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import Hands, chore, small_house


def sentence(hands: Hands) -> str:
    """Return what the head of the round counts."""
    return hands.sheet().sentence.partition(".")[2].strip() or hands.sheet().sentence


def pause_chore(hands: Hands, chore_id: str) -> None:
    """Pause one chore by key."""
    hands.go_to(chore_id)
    hands.press("Shift+P", "Return")


def pause_tank(hands: Hands, tank_id: str) -> None:
    """Pause a tank by key in the rail."""
    hands.frame.rail.choose(tank_id)
    hands.frame.rail.setFocus()
    hands.settle()
    hands.press("Shift+P", "Return")
    hands.frame.rail.choose(None)
    hands.settle()


def test_the_whole_house_counts_the_chores_that_are_paused_alone(live_in: LiveIn) -> None:
    """The group below lists the chores alone; whole tanks are counted after them."""
    hands = live_in(small_house())
    pause_chore(hands, "wipe")
    one_chore = sentence(hands)

    pause_tank(hands, "nook")

    group = [row for row in hands.sheet().rows if isinstance(row, HeadingRow)][-1]
    assert one_chore.replace("\N{NO-BREAK SPACE}", " ") == "1 chore paused."
    assert plain(sentence(hands)) == "1 chore paused, 1 tank paused."
    assert group.room.startswith("1\N{NO-BREAK SPACE}chore")


def test_a_tank_that_never_began_is_not_counted_as_paused(live_in: LiveIn) -> None:
    """It is planned, and said to be so in the rail; a tank that is paused is counted."""
    small = small_house()
    reef, nook = small.tanks
    spare = replace(nook, id="spare", name="Spare", stage=Stage.PLANNED)
    hands = live_in(replace(small, tanks=(reef, nook, spare)))
    assert "paused" not in hands.sheet().sentence

    pause_tank(hands, "nook")
    assert plain(hands.sheet().sentence).endswith("1 tank paused.")
    # A paused tank holds its water; in one that is only planned is none yet.
    told = [(card.litres, card.rests) for card in hands.frame.rail.cards][-2:]
    litres = "86\N{NO-BREAK SPACE}L"
    assert told == [(litres, "paused"), ("", f"planned, {litres} when full")]
    assert "Spare, planned, 86 litres when full" in hands.frame.rail.cards[-1].sentence

    pause_chore(hands, "wipe")
    assert plain(sentence(hands)) == "1 chore paused, 1 tank paused."
    hands.press("Ctrl+Down")
    assert "tank" not in sentence(hands)


def test_a_paused_tank_keeps_its_water_in_the_picture(live_in: LiveIn) -> None:
    """A pause empties nothing; what is only planned is an outline."""
    small = small_house()
    reef, nook = small.tanks
    spare = replace(nook, id="spare", name="Spare", stage=Stage.PLANNED)
    hands = live_in(replace(small, tanks=(reef, nook, spare)))
    pause_tank(hands, "nook")

    pictures = {card.id: card.picture for card in hands.frame.rail.cards}

    assert pictures["nook"] is not None
    assert not pictures["nook"].is_outline_only
    assert pictures["spare"] is not None
    assert pictures["spare"].is_outline_only


def test_the_key_under_a_button_acts_while_the_panel_has_the_keys(live_in: LiveIn) -> None:
    """It is told there, so it is pressed there, too."""
    hands = live_in(small_house())
    pause_chore(hands, "wipe")
    hands.go_to("wipe")
    assert hands.state("wipe") is State.PAUSED
    assert hands.why.actions[0].text == "Resume"
    hands.frame.why.setFocus()

    hands.press("Shift+P")
    assert hands.state("wipe") is State.DUE

    button = next(one for one in hands.frame.why.findChildren(QPushButton) if one.text() == "Skip")
    button.setFocus()
    hands.press("S")
    assert hands.state("wipe") is State.SKIPPED


def test_mixing_rests_below_with_the_only_tank_that_takes_it(live_in: LiveIn) -> None:
    """The heading names no key: what rests with its tanks is not let go on by itself."""
    amount = Amount(9.0, AmountUnit.LITRES)
    mixing = chore("mix", "Mix salt water", 12, kind=ChoreKind.MIX_SALT_WATER, tank=None)
    taken = chore("take", "Change water", 12, kind=ChoreKind.WATER_CHANGE, amount=amount)
    nook = replace(small_house().tanks[1], stage=Stage.PLANNED)
    taken = replace(taken, tank="nook")
    hands = live_in(replace(small_house(), tanks=(nook,), chores=(mixing, taken)))

    heading, row = hands.sheet().rows

    assert (heading.name, heading.room) == ("Paused", "1\N{NO-BREAK SPACE}chore")
    assert (row.name, row.state) == ("Mix salt water", "planned")
    assert [one.number for one in hands.sheet().figures] == ["0\N{NO-BREAK SPACE}min"]


def test_a_pause_tells_its_last_day_and_the_key_that_ends_it(live_in: LiveIn) -> None:
    """One week from Thursday 12 March lasts to Wednesday 18."""
    hands = live_in(small_house())
    hands.go_to("wipe")
    hands.press("Shift+P", "Down", "Return")

    assert plain(hands.told) == (
        "Paused Wipe the lid (Reef) to Wed 18. Shift+P on its line lets it go on."
    )
    hands.press("Ctrl+Z")
    assert plain(hands.told) == "Undone: Paused Wipe the lid (Reef) to Wed 18."


def test_the_list_and_the_page_of_a_chore_say_that_it_is_paused(live_in: LiveIn) -> None:
    """And until when; of a chore at work they say nothing of the kind."""
    hands = live_in(small_house())
    hands.go_to("wipe")
    hands.press("Shift+P", "Down", "Return")
    hands.press("Ctrl+Down", "F3")
    chores = hands.window.morning.settling.chores  # type: ignore[union-attr]
    assert chores is not None
    lines = {row.name: plain(row.line) for row in chores.things.rows}
    assert lines["Wipe the lid"].startswith("Paused until 18 Mar, 7 days after it is done")
    assert "aused" not in lines["Clean the glass"]

    place = [row.name for row in chores.things.rows].index("Wipe the lid")
    hands.press("Home", *["Down"] * place, "Return")

    assert plain(chores.follows.text()).startswith("Paused until 18 Mar. ")


def test_the_head_keeps_room_for_what_will_be_done_beside_what_rests() -> None:
    """No row moves under a hand that ticks: what is paused stays behind the longer counts."""
    assert with_more_to_come("4 overdue. 2 done, 1 tank paused.") == (
        "4 overdue. 99 done, 9 skipped, 1 tank paused."
    )
    assert with_more_to_come("Nothing is due.") == "Nothing is due. 99 done, 9 skipped."


def test_the_page_of_a_tank_paused_by_the_log_does_not_tell_it_as_running(live_in: LiveIn) -> None:
    """The rail says paused: its page says so too, beside the stage that it keeps."""
    hands = live_in()
    assert hands.window.morning is not None
    told = []
    for _ in range(3):
        hands.frame.rail.choose("reef")
        hands.settle()
        hands.press("F2")
        assert hands.window.morning.settling is not None
        told.append(plain(hands.window.morning.settling.tank.page.sentence.text()))
        hands.press("Esc")
        pause_tank(hands, "reef")

    runs = "The tank is running. Ctrl+Shift+T changes that,"
    assert told[0].startswith(runs)
    assert told[1].startswith(
        "It has been paused since today; its stage is running. Ctrl+Shift+T changes that,"
    )
    assert told[2].startswith(runs)


@pytest.mark.parametrize("width", [560, 790, 1000])
def test_the_head_has_room_for_all_that_is_counted(qtbot, wear: Wear, width: int) -> None:  # type: ignore[no-untyped-def]
    """The sums beside it leave a narrow room, in which the counts take three lines."""
    wear(Scheme.LIGHT, 100)
    page = QWidget()
    qtbot.addWidget(page)
    page.resize(width, 600)
    head = RoundHead(page)
    head.resize(width, 200)
    figures = [Figure("144 min", "left today"), *[Figure("40 L", "salt water")] * 4]
    counts = "4 overdue, 10 due, 4 can wait. 2 done, 1 skipped, 1 chore paused, 1 tank paused."

    head.set_texts("Friday 27 November", "Fri 27 November", counts, figures)

    assert head.sentence.height() >= head.sentence.heightForWidth(head.sentence.width())


def test_the_name_of_a_chore_that_is_paused_has_the_room_of_its_amount(live_in: LiveIn) -> None:
    """Where it belongs stands in the place of who, which nobody is meanwhile."""
    name = "Press the test button of the safety switch"
    hands = live_in(small_house(chores=(chore("press", name, 12, tank=None),)))
    pause_chore(hands, "press")

    row = hands.row("press")
    assert (row.amount, row.who) == ("", "Household")
    assert hands.list.itemDelegate().shown_name(row) == name
