"""The page of the round on its own: model, places, columns, head and the panel beside it."""

from dataclasses import replace
from datetime import date, time

import pytest
from PySide6.QtCore import QPoint, Qt

from tankkeeper.core.logbook import Turn
from tankkeeper.core.state import Item
from tankkeeper.core.turns import State
from tankkeeper.gui.models.places import Places
from tankkeeper.gui.models.round_model import RoundModel
from tankkeeper.gui.models.round_rows import HeadingRow, ItemRow, RoundRow
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.facts import HistoryRows
from tankkeeper.gui.widgets.round_columns import columns_for
from tankkeeper.gui.widgets.why_panel import Notice
from tests.builders import a_box, a_chore
from tests.gui.conftest import LiveIn
from tests.gui.test_window_access import _sample

TODAY, TOMORROW = date(2026, 3, 12), date(2026, 3, 13)


def _line(chore_id: str, state: State = State.DUE, slot: time | None = None) -> ItemRow:
    chore = a_chore(id=chore_id, name=chore_id.capitalize())
    item = Item(Turn(chore_id, "2026-03-12", slot), state, chore, a_box())
    return ItemRow(item, chore.name, "", "2 L", "5", "Ada", "today", f"{chore_id}, today")


def _heading(name: str = "Reef") -> HeadingRow:
    return HeadingRow(name, "hall", "10 min", f"{name}, hall, 10 minutes")


def _ids(rows: list[RoundRow]) -> list[str]:
    return [row.item.chore.id for row in rows if isinstance(row, ItemRow)]


def test_the_model_keeps_the_rules_of_models(qtmodeltester) -> None:  # type: ignore[no-untyped-def]
    """Headings and lines, filled, changed and emptied."""
    model = RoundModel()
    qtmodeltester.check(model, force_py=True)
    model.set_rows([_heading(), _line("glass"), _line("wipe")])
    model.set_rows([_heading(), _line("glass"), _line("wipe", State.DONE)])
    model.set_rows([_heading()])
    assert model.rowCount(model.index(0)) == 0
    model.set_rows([])

    assert model.rowCount() == 0


def test_a_change_of_one_line_is_told_of_that_line(qtbot) -> None:  # type: ignore[no-untyped-def]
    """A tick resets nothing, so selection and place in the list are kept."""
    model = RoundModel()
    model.set_rows([_heading(), _line("glass"), _line("wipe")])
    told: list[int] = []
    resets: list[bool] = []
    model.dataChanged.connect(lambda first, _last: told.append(first.row()))
    model.modelReset.connect(lambda: resets.append(True))

    model.set_rows([_heading(), _line("glass"), _line("wipe", State.DONE)])

    assert told == [2]
    assert resets == []


def test_a_line_keeps_its_place_until_the_day_ends() -> None:
    """Sorted otherwise after a tick, the lines stand as they stood; tomorrow they are sorted."""
    places = Places()
    first = [_heading(), _line("fill"), _line("glass"), _line("wipe")]
    ticked = [_heading(), _line("glass"), _line("wipe"), _line("fill", State.DONE)]

    places.settled(first, TODAY)

    assert _ids(places.settled(ticked, TODAY)) == ["fill", "glass", "wipe"]
    assert _ids(places.settled(ticked, TOMORROW)) == ["glass", "wipe", "fill"]


def test_a_new_line_stands_behind_the_one_it_follows() -> None:
    """What appears during the day takes the place that the round gives it."""
    places = Places()
    places.settled([_heading(), _line("glass"), _line("wipe")], TODAY)

    rows = places.settled([_heading(), _line("glass"), _line("new"), _line("wipe")], TODAY)

    assert _ids(rows) == ["glass", "new", "wipe"]


def test_places_are_kept_while_one_tank_is_chosen() -> None:
    """Narrowed to one tank and widened again, the other groups stand as before."""
    places = Places()
    nook = _heading("Nook")
    places.settled([_heading(), _line("glass"), nook, _line("fill"), _line("lamp")], TODAY)
    places.settled([_heading(), _line("glass")], TODAY)

    rows = places.settled([_heading(), _line("glass"), nook, _line("lamp"), _line("fill")], TODAY)

    assert _ids(rows) == ["glass", "fill", "lamp"]


def test_slots_of_one_chore_are_told_apart() -> None:
    """Feeding at eight and at six are two lines."""
    places = Places()
    early, late = _line("feed", slot=time(8)), _line("feed", slot=time(18))
    places.settled([_heading(), early, late], TODAY)

    rows = places.settled([_heading(), late, early], TODAY)

    assert [row.item.turn.slot for row in rows if isinstance(row, ItemRow)] == [time(8), time(18)]


@pytest.mark.parametrize("width", [560.0, 640.0, 828.0, 928.0, 1200.0])
def test_columns_follow_each_other_at_any_width(qapp, width: float) -> None:  # type: ignore[no-untyped-def]
    """From left to right, inside the list, whatever the room."""
    lines = [
        replace(_line("glass"), state="14 days overdue, 3 turns", amount="2.4 L fresh water"),
        replace(_line("wipe"), caution="cover open cuts", who="Marta, Emma"),
    ]

    columns = columns_for(lines, qapp.font(), width)

    assert columns.left < columns.chore < columns.minutes_right <= columns.who
    assert columns.who <= columns.state < columns.right <= width
    if not columns.has_two_lines:
        assert columns.chore < columns.amount < columns.minutes_right


def test_one_long_name_is_shortened_and_moves_no_amount(qapp) -> None:  # type: ignore[no-untyped-def]
    """Where many are long, all of them stand in full above their amounts."""
    words = {"amount": "2.4 L fresh water", "state": "14 days overdue, 3 turns", "who": "Marta"}
    name = "Rinse the sponge of the reef's return pump in water taken from the tank"
    short = [replace(_line(f"c{at}"), name="Clean the glass", **words) for at in range(9)]
    long = [replace(_line(f"l{at}"), name=name, **words) for at in range(9)]

    def has_two_lines(rows: list[ItemRow]) -> bool:
        return columns_for(rows, qapp.font(), 720.0).has_two_lines

    assert not has_two_lines(short)
    assert not has_two_lines([*short, long[0]])
    assert has_two_lines([*short, *long])


def test_the_names_of_the_columns_stand_above_them(live_in: LiveIn) -> None:
    """The head keeps the columns of the list after a resize."""
    hands = live_in()
    page = hands.window.morning.page  # type: ignore[union-attr]

    hands.window.shell.resize(1440, 900)
    hands.settle()

    assert page.head.heads._columns == page.list.columns
    list_left = page.list.viewport().mapTo(page, QPoint(0, 0)).x()
    assert page.head.heads.mapTo(page, QPoint(0, 0)).x() == list_left


def test_the_last_five_times_are_seen_without_scrolling(live_in: LiveIn, wear) -> None:  # type: ignore[no-untyped-def]
    """At 1280 x 800 the panel of a water change shows reason, numbers and last times at once."""
    wear(Scheme.LIGHT, 100)
    hands = _sample(live_in)
    hands.list.go_to(1)
    hands.settle()
    assert hands.why.title.startswith("Change water")

    scroll = hands.frame.why.focusProxy()
    history = scroll.widget().findChild(HistoryRows)

    foot = history.mapTo(scroll, QPoint(0, history.height())).y()
    assert foot <= scroll.height()
    assert len(hands.why.last_times) == 5


def test_a_refusal_is_seen_without_scrolling(live_in: LiveIn) -> None:
    """It stands right below the reason, on its own ground."""
    hands = _sample(live_in)
    hands.press("Down", "Space", "Up", "S")

    scroll = hands.frame.why.focusProxy()
    notice = scroll.widget().findChildren(Notice)[0]

    assert notice.label.text() == hands.why.refusal
    assert notice.mapTo(scroll, QPoint(0, notice.height())).y() <= scroll.height()


def test_two_lines_are_used_before_anything_is_cut(live_in: LiveIn, wear) -> None:  # type: ignore[no-untyped-def]
    """In large type the amount goes under the chore; the rows are higher then."""
    wear(Scheme.LIGHT, 100)
    hands = live_in()
    low = hands.area("change").height()
    assert not hands.list.columns.has_two_lines

    wear(Scheme.LIGHT, 200)
    hands.settle()

    assert hands.list.columns.has_two_lines
    assert hands.area("change").height() > 2 * low
    wear(Scheme.LIGHT, 100)


def test_every_line_is_high_enough_to_be_hit(live_in: LiveIn) -> None:
    """Lines are 34 px high or more (a choice of this project); a mark reaches past its edge."""
    hands = live_in()

    assert min(hands.area(row.item.chore.id).height() for row in hands.rows()) >= 34
    hands.click(hands.mark("lamp") + QPoint(12, 12), Qt.KeyboardModifier.NoModifier)
    hands.settle()

    assert hands.state("lamp") is State.DONE
