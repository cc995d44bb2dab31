"""The open window as a screen reader and a keyboard find it, and at every size."""

from dataclasses import replace
from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QFont, QFontMetricsF
from PySide6.QtWidgets import QApplication, QLabel, QWidget

from tankkeeper.core.household import Person, Room
from tankkeeper.gui.models.round_rows import HeadingRow
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.typography import TypeRole, Weight, type_font
from tankkeeper.gui.widgets.round_columns import sign_width
from tests.gui import pictures
from tests.gui.checks import cut_labels, nameless, overlapping
from tests.gui.conftest import LiveIn
from tests.gui.round_house import ICONS, Hands, box, chore, small_house

SAMPLE = ICONS.parents[1] / "sample_tanks" / "sample_household.toml"


@pytest.fixture
def said(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What is announced to a screen reader, in order."""
    told: list[str] = []
    update = QAccessible.updateAccessibility

    def listen(event: object) -> None:
        if isinstance(event, QAccessibleAnnouncementEvent):
            told.append(event.message())
        update(event)

    monkeypatch.setattr(QAccessible, "updateAccessibility", staticmethod(listen))
    return told


def _interface(widget: QWidget):  # type: ignore[no-untyped-def]
    return QAccessible.queryAccessibleInterface(widget)


def test_everything_that_takes_keys_has_a_name(live_in: LiveIn) -> None:
    """With the whole house, with a tank, and with nothing there."""
    hands = live_in()

    assert nameless(hands.window.shell) == []
    hands.press("Ctrl+Down")
    assert nameless(hands.window.shell) == []


def test_rows_are_read_as_sentences(live_in: LiveIn) -> None:
    """Chore, tank, state and amount, for each line; headings say tank, room and minutes."""
    hands = live_in()
    spoken = _interface(hands.list)
    rows = [spoken.child(at) for at in range(spoken.childCount())]

    texts = [row.text(QAccessible.Text.Name) for row in rows]

    assert len(texts) == len(hands.list.round_model.rows)
    assert texts[0] == "Reef, hall, 40 minutes"
    assert "clean the glass" in texts[1]
    assert "overdue" in texts[1]
    change = next(text for text in texts if "change water" in text)
    assert "9" in change
    assert "unplug the heater" in change


def test_a_ticked_row_says_that_it_is_checked(live_in: LiveIn) -> None:
    """The state of the check mark follows."""
    hands = live_in()
    at = hands.list.round_model.row_of("glass")
    before = _interface(hands.list).child(at).state().checked

    hands.press("Space")

    assert (before, _interface(hands.list).child(at).state().checked) == (0, 1)
    assert "done" in _interface(hands.list).child(at).text(QAccessible.Text.Name)


def test_deeds_refusals_and_undo_are_announced(live_in: LiveIn, said: list[str]) -> None:
    """Somebody who does not see the screen hears what each key came to."""
    hands = live_in()

    hands.press("Space")
    hands.go_to("glass")
    hands.press("S", "Ctrl+Z")

    assert said[0] == "Ticked Clean the glass (Reef). Next on Thu\u00a019."
    assert "Take it back first" in said[1]
    assert said[2] == "Undone: Ticked Clean the glass (Reef)."


def test_the_sums_and_the_why_panel_are_read(live_in: LiveIn) -> None:
    """Painted figures and the reason have words."""
    hands = live_in()
    page = hands.window.morning.page  # type: ignore[union-attr]

    figures = _interface(page.head.figures).text(QAccessible.Text.Name)
    assert "min left today" in figures.replace("\u00a0", " ")
    why = hands.frame.why.focusProxy()
    assert hands.why.reason in _interface(why).text(QAccessible.Text.Description)


def test_f6_and_tab_reach_every_part(live_in: LiveIn) -> None:
    """F6 goes round views, rail, round and why panel; from the list F6 leads on and back."""
    hands = live_in()
    seen = []
    for _ in range(4):
        hands.press("F6")
        seen.append(hands.focus())

    assert len(set(map(id, seen))) == 4
    assert hands.list.hasFocus()


SIZES = [
    ((1280, 800), 100),
    ((1440, 900), 100),
    ((1000, 700), 100),
    ((1280, 800), 125),
    ((1280, 800), 150),
    ((1440, 900), 200),
    ((1000, 700), 150),
]


def _room_of_rows(hands: Hands) -> list[str]:
    """Return the drawn texts that run into each other or out of the list."""
    columns, base, wrong = hands.list.columns, hands.list.font(), []
    delegate, right = hands.list.itemDelegate(), hands.list.viewport().width()
    heading = _metrics(base, TypeRole.HEADING, Weight.SEMIBOLD)
    small = _metrics(base, TypeRole.CAPTION)
    medium = _metrics(base, TypeRole.BODY, Weight.MEDIUM)
    strong = _metrics(base, TypeRole.BODY, Weight.SEMIBOLD)
    body = _metrics(base, TypeRole.BODY)
    for row in hands.list.round_model.rows:
        if isinstance(row, HeadingRow):
            name, room = delegate.heading_texts(row)
            end = columns.left + heading.horizontalAdvance(name) + 10
            minutes = columns.minutes_right - small.horizontalAdvance(row.minutes)
            if end + small.horizontalAdvance(room) > minutes:
                wrong.append(f"heading {row.name}")
            continue
        minutes = columns.minutes_right - body.horizontalAdvance(row.minutes)
        end = columns.chore + medium.horizontalAdvance(delegate.shown_name(row))
        sign = sign_width(base) if row.caution and not columns.has_two_lines else 0
        # The room of an amount that is empty is the name's.
        has_amount = columns.has_beside(row)
        if end + sign > (columns.amount if has_amount else minutes):
            wrong.append(f"chore {row.name}")
        parts = delegate.state_lines(row)
        if columns.state + max(map(strong.horizontalAdvance, parts)) > right:
            wrong.append(f"state {row.state}")
        amount = columns.amount + body.horizontalAdvance(row.amount)
        if has_amount and amount > minutes:
            wrong.append(f"amount {row.amount}")
    return wrong


def _metrics(base: QFont, role: TypeRole, weight: Weight = Weight.REGULAR) -> QFontMetricsF:
    return QFontMetricsF(type_font(base, role, weight))


def _shortened(hands: Hands) -> list[str]:
    delegate = hands.list.itemDelegate()
    names = [
        row.name
        for row in hands.rows()
        if f"{delegate.shown_name(row)} {delegate.name_below(row)}".rstrip() != row.name
    ]
    return names + [row.who for row in hands.rows() if delegate.shown_who(row) != row.who]


@pytest.mark.parametrize(("size", "percent"), SIZES)
@pytest.mark.parametrize("scheme", [Scheme.LIGHT, Scheme.DARK])
def test_nothing_is_cut_at_any_size(  # type: ignore[no-untyped-def]
    live_in: LiveIn, wear, size: tuple[int, int], percent: int, scheme: Scheme
) -> None:
    """Labels have the room they need, rows do not run into each other, also in large type."""
    wear(scheme, percent)
    hands = live_in(size=size)

    assert cut_labels(hands.frame) == []
    assert overlapping(hands.frame) == []
    assert _room_of_rows(hands) == []


@pytest.mark.parametrize("percent", [100, 150])
def test_right_to_left_cuts_nothing(live_in: LiveIn, wear, qapp, percent: int) -> None:  # type: ignore[no-untyped-def]
    """With another direction of writing every text has its room, and the keys act."""
    qapp.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    try:
        wear(Scheme.LIGHT, percent)
        hands = live_in()
        assert cut_labels(hands.frame) == []
        assert overlapping(hands.frame) == []
        assert _room_of_rows(hands) == []
        hands.press("Space")
        assert hands.row("glass").is_closed
    finally:
        qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)


def test_twelve_tanks_are_walked_through(live_in: LiveIn) -> None:
    """Every tank has its group, its card in the rail, and can be reached by key."""
    tanks = tuple(box(f"t{number}", f"Tank {number}", number) for number in range(12))
    chores = tuple(
        chore(f"c{number}", "Clean the glass", 12, tank=f"t{number}") for number in range(12)
    )
    hands = live_in(small_house(tanks=tanks, chores=chores))

    assert len(hands.rows()) == 12
    for _ in range(12):
        hands.press("Ctrl+Down")
    assert [row.item.chore.id for row in hands.rows()] == ["c11"]
    assert cut_labels(hands.frame) == []


def test_names_of_two_hundred_letters_are_shortened_where_room_is_short(
    live_in: LiveIn,
) -> None:
    """Tank, room, person and household: nothing overlaps, and the state stays."""
    long = "Very long name with many words " * 6
    house = small_house(name=long.strip())
    tanks = (replace(house.tanks[0], name=long.strip()), house.tanks[1])
    people = (Person("ada", long.strip()), Person("bo", "Bo"))
    house = replace(house, tanks=tanks, people=people, rooms=(Room("hall", long.strip()),))
    hands = live_in(house, person="ada")

    assert cut_labels(hands.frame) == []
    assert overlapping(hands.frame) == []
    assert _room_of_rows(hands) == []


def test_a_chore_with_a_long_name_is_shortened_and_keeps_its_state(live_in: LiveIn) -> None:
    """The name of 200 letters gives way; amount, minutes, who and state stay readable."""
    house = small_house()
    long = replace(house.chores[0], name="Clean the glass of the tank " * 7)
    hands = live_in(replace(house, chores=(long, *house.chores[1:])))

    assert _room_of_rows(hands) == []
    assert _shortened(hands) == [long.name]
    # One long name changes nothing for the other lines.
    assert not hands.list.columns.has_two_lines


def test_markup_in_names_is_shown_as_it_is_written(live_in: LiveIn) -> None:
    """A tank called <b>x</b> is called that; nothing in the window reads markup."""
    house = small_house(name="<b>house</b>")
    tank = replace(house.tanks[0], name="<img src=x>&amp;")
    task = replace(house.chores[0], name="<i>wipe</i> & dry")
    house = replace(house, tanks=(tank, house.tanks[1]), chores=(task, *house.chores[1:]))
    hands = live_in(house)

    for label in hands.frame.findChildren(QLabel):
        assert label.textFormat() is Qt.TextFormat.PlainText
    tip = hands.list.round_model.index(1).data(Qt.ItemDataRole.ToolTipRole)
    assert tip == hands.row("glass").state
    hands.go_to("glass")
    for key in ("Return", "P", "Shift+P", "N"):
        hands.press(key)
        for label in hands.form().findChildren(QLabel):
            assert label.textFormat() is Qt.TextFormat.PlainText or label.buddy() is not None
        hands.press("Esc")


def test_the_sample_household_is_walked_through_by_keyboard(live_in: LiveIn) -> None:
    """Every line of the sample is ticked, with what it asks, and undone again, by key alone."""
    hands = _sample(live_in)
    order = [row.item.chore.id for row in hands.rows()]
    hands.list.go_to_first()
    told = 0

    for _ in range(60):
        row = hands.list.current_row()
        if row is None or not row.item.is_open:
            break
        hands.press("Space")
        if hands.has_form():
            _fill(hands)
        told += 1
        # Ticking a water change settles nothing else, so the same lines stand in the same place.
        assert [one.item.chore.id for one in hands.rows()] == order, row.name
        assert cut_labels(hands.frame) == []

    assert told > 12
    assert all(one.is_closed for one in hands.rows())
    for _ in range(told):
        hands.press("Ctrl+Z")
    assert [one.item.chore.id for one in hands.rows()] == order


def _fill(hands: Hands) -> None:
    """Type into each field of the form what can be; salinity 35, all else small."""
    form = hands.form()
    usual = {"temperature": "25", "salinity": "35", "ph": "8.1", "alkalinity": "8"}
    usual |= {"calcium": "420", "magnesium": "1300"}
    if form.salinity is not None:  # type: ignore[attr-defined]
        form.salinity.setFocus()  # type: ignore[attr-defined]
        hands.type("35")
    for name, field in form.values.items():  # type: ignore[attr-defined]
        field.setFocus()
        hands.type(usual.get(name, "0.1"))
    hands.press("Return")
    assert not hands.has_form(), form.accessibleDescription()


def _sample(live_in: LiveIn, size: tuple[int, int] = (1280, 800)) -> Hands:
    household, entries = pictures.the_sample()
    return live_in(household, entries=entries, now=pictures.NOW, size=size, name="sample")


@pytest.mark.parametrize(("size", "percent"), SIZES)
def test_the_sample_household_cuts_nothing_at_any_size(  # type: ignore[no-untyped-def]
    live_in: LiveIn, wear, size: tuple[int, int], percent: int
) -> None:
    """Real lengths of chores, amounts and states."""
    wear(Scheme.LIGHT, percent)
    hands = _sample(live_in, size=size)

    assert cut_labels(hands.frame) == []
    assert overlapping(hands.frame) == []
    assert _room_of_rows(hands) == []
    assert _shortened(hands) == []


def test_dates_are_those_of_the_household(live_in: LiveIn) -> None:
    """The title tells the household's day, whatever the zone of the machine."""
    hands = live_in(small_house(zone="Pacific/Auckland"))

    assert hands.sheet().view.moment.day == date(2026, 3, 12)
    assert QApplication.focusWidget() is hands.list
