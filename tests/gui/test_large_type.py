"""Every page and every form from the usual type to double type, in a window of 1280 x 800."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPoint, QRect, Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QScrollArea, QWidget

from tankkeeper.core.chores import Amount, AmountUnit, ChoreKind
from tankkeeper.core.household import Household, Person
from tankkeeper.gui.forms.key_sheet import KeySheet
from tankkeeper.gui.forms.spec_field import SpecField
from tankkeeper.gui.pages.board_page import BoardPage
from tankkeeper.gui.pages.first_page import FirstPage
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.typography import (
    Space,
    TypeRole,
    Weight,
    line_height,
    metrics_for,
    type_font,
)
from tankkeeper.gui.widgets.board_fold import folded_words, has_room_for_unit
from tankkeeper.gui.widgets.board_strips import BAR_PX, LEAST_SHARE_OF_BAR
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.labels import HeadingLabel
from tankkeeper.gui.widgets.log_list import LogList
from tankkeeper.gui.widgets.month_cells import style_for
from tankkeeper.gui.widgets.month_legend import WORDS, MonthLegend
from tankkeeper.gui.widgets.notice_bar import NoticeBar
from tankkeeper.gui.widgets.round_columns import sign_width
from tankkeeper.services.reminder_habits import Habits
from tests.gui.checks import cut_labels, nameless, out_of_sight, overlapping, painted_over
from tests.gui.conftest import LiveIn, Remind, Wear
from tests.gui.form_pictures import FORM_SHOTS
from tests.gui.pictures import PUSHED, TYPED, Shot
from tests.gui.reminded import Reminded, changed_house
from tests.gui.round_house import Hands, chore, small_house

PERCENTS = (100, 125, 150, 200)
# What opens a page, by key or by its button.
PAGES: dict[str, tuple[str, ...]] = {
    "round": (),
    "find": ("Ctrl+F", "=wi"),
    "month": ("Ctrl+2",),
    "day": ("Ctrl+2", "Return"),
    "board": ("Ctrl+2", "B"),
    "logbook": ("Ctrl+6",),
    "tank": ("Ctrl+Down", "F2"),
    "chores": ("Ctrl+Down", "F3"),
    "chore": ("Ctrl+Down", "F3", "Return"),
    "animal": ("Ctrl+Down", "F3", "@animals", "@new"),
    "equipment": ("Ctrl+Down", "F3", "@equipment", "@new"),
    "settings": ("Ctrl+,",),
    "reminders": ("Ctrl+Shift+R",),
    "backups": ("Ctrl+,", "@backups"),
    "people": ("Ctrl+,", "@people"),
    "person": ("Ctrl+,", "@people", "@new"),
    "room": ("Ctrl+,", "@rooms", "@new"),
    "container": ("Ctrl+,", "@containers", "@new"),
    "supply": ("Ctrl+,", "@supplies", "@new"),
    "water supply": ("Ctrl+,", "@water"),
    "salt": ("Ctrl+,", "@salt"),
    "new tank": ("Ctrl+Shift+N", "=Bay"),
}
LONG_REMINDER = (
    "Nook: the water level may be past its limit since yesterday, 23:01. Top off. Reef: the "
    "reservoir may be empty tomorrow at 07:02. Fill it up. Today: 4 overdue, 9 due."
)
FORMS: dict[str, Shot] = {
    shot.name.removesuffix("-light"): shot
    for shot in FORM_SHOTS
    if shot.is_form and shot.name.endswith("-light")
}


def house() -> Household:
    """Return the small house with a pump service, whose tick leaves the pumps off."""
    small, service = small_house(), changed_house().chores[0]
    return replace(small, chores=(service, *small.chores))


def press(hands: Hands, keys: tuple[str, ...]) -> None:
    """Press keys, type texts, and push buttons of the page, as for a picture."""
    for key in keys:
        if key.startswith(PUSHED):
            hands.frame.stack.currentWidget().buttons[key.removeprefix(PUSHED)].click()  # type: ignore[union-attr]
            hands.settle()
        elif key.startswith(TYPED):
            hands.type(key.removeprefix(TYPED))
            hands.settle()
        else:
            hands.press(key)


def with_two_reminders(remind: Remind) -> Reminded:
    one = remind(house(), habits=Habits())
    one.hands.go_to("pump")
    one.hands.press("Space")
    assert one.restart
    assert one.reminder
    assert one.desk.banner is not None
    # As long as they get: two tanks whose water may be past its limits, and the day's work.
    one.desk.banner.show_sentences(one.restart, LONG_REMINDER)
    one.hands.settle()
    return one


def faults(window: QWidget) -> list[str]:
    """Return all that is cut, lies on something else, cannot be seen or has no name."""
    walks = (cut_labels, overlapping, painted_over, out_of_sight, nameless)
    return [f"{walk.__name__}: {one}" for walk in walks for one in walk(window)]


@pytest.mark.parametrize("page", PAGES)
def test_nothing_of_a_page_is_cut_or_painted_over_beside_two_reminders(
    remind: Remind, wear: Wear, page: str
) -> None:
    """Whatever the type: both reminders keep their buttons, and a field with the keys is seen.

    Each page is opened in one of the sizes, the next page in the next, and stands through all.
    """
    first = list(PAGES).index(page) % len(PERCENTS)
    wear(Scheme.LIGHT, PERCENTS[first])
    one = with_two_reminders(remind)
    press(one.hands, PAGES[page])

    for percent in (*PERCENTS[first:], *PERCENTS[:first]):
        wear(Scheme.LIGHT, percent)
        one.hands.settle()
        stands_whole(one, is_field_seen=page != "new tank")


def stands_whole(one: Reminded, *, is_field_seen: bool) -> None:
    """Refuse what is cut on the page that is shown.

    A page of fields is of no use where none of them is seen whole, with its name.
    """
    field = field_with_the_keys(one.hands)
    if field is not None and is_field_seen:
        assert seen_of(field).height() == field.height()
    assert faults(one.hands.frame) == []
    if one.hands.frame.is_covered:
        return
    assert one.desk.banner is not None
    for bar in one.desk.banner.findChildren(NoticeBar):
        assert [button for button in bar._buttons if not button.isVisible()] == []


def field_with_the_keys(hands: Hands) -> SpecField | None:
    """Return the field of a sheet that has the keys."""
    now: QWidget | None = hands.focus()
    while now is not None and not isinstance(now, SpecField):
        now = now.parentWidget()
    return now


def seen_of(field: QWidget) -> QRect:
    """Return what is seen of a field in the area that scrolls it, in the place of that."""
    area = field.parentWidget()
    while not isinstance(area, QScrollArea):
        assert area is not None
        area = area.parentWidget()
    place = QRect(field.mapTo(area.viewport(), QPoint(0, 0)), field.size())
    return place.intersected(area.viewport().rect())


@pytest.mark.parametrize("form", FORMS)
def test_a_form_is_no_larger_than_the_window_and_keeps_its_buttons(
    live_in: LiveIn, wear: Wear, tmp_path: Path, form: str
) -> None:
    """Its fields scroll, and it stays on the screen when it grows.

    Each form is opened in one of the sizes, the next form in the next, and stands through all.
    """
    shot, first = FORMS[form], list(FORMS).index(form) % len(PERCENTS)
    wear(Scheme.LIGHT, PERCENTS[first])
    shot.make(tmp_path / "quay.tankkeeper")
    hands = live_in(is_there=True, now=shot.now)
    press(hands, shot.keys)
    if shot.do is not None:
        shot.do(hands)
    for percent in (*PERCENTS[first:], *PERCENTS[:first]):
        wear(Scheme.LIGHT, percent)
        hands.settle()
        found = hands.form()

        assert faults(found) == [], percent
        assert found.width() <= 1280
        assert found.height() <= 800 - 40, percent
        assert found.geometry().bottom() < found.screen().availableGeometry().bottom()
        for button in (found.primary, found.leave):
            assert found.rect().contains(button.geometry()), percent


def test_refusals_do_not_push_the_buttons_of_a_form_off_the_screen(live_in: LiveIn) -> None:
    """It grows where it stands, and moves up where the screen ends."""
    hands = live_in()
    hands.press("Ctrl+L")
    hands.type("r")
    form = hands.form()
    hands.settle()
    foot = form.screen().availableGeometry().bottom()
    form.move(form.x(), foot - form.height())
    before = form.height()
    for key, typed in (("salinity", "1.026"), ("ph", "82")):
        form.readings.fields[key].field.setFocus()  # type: ignore[attr-defined]
        hands.type(typed)
    hands.press("Return")
    hands.settle()

    assert form.height() > before
    assert form.geometry().bottom() <= foot


@pytest.mark.parametrize("percent", PERCENTS)
def test_the_sheet_of_keys_stands_in_the_window_with_its_button(
    live_in: LiveIn, wear: Wear, percent: int
) -> None:
    """What is too much for the window is scrolled."""
    wear(Scheme.LIGHT, percent)
    hands = live_in()
    hands.press("?")
    sheet = next(one for one in hands.frame.findChildren(KeySheet) if one.isVisible())

    assert faults(sheet) == []
    assert sheet.height() < 800
    assert sheet.geometry().bottom() <= sheet.screen().availableGeometry().bottom()
    close = sheet.findChildren(Button)[0]
    assert close.words == "Close"
    assert sheet.rect().contains(close.geometry())


def test_the_halves_of_a_new_tank_stand_anew_when_the_type_changes(
    live_in: LiveIn, wear: Wear
) -> None:
    """The page is open while type grows; its questions have the whole width then."""
    hands = live_in()
    hands.press("Ctrl+Shift+N")
    page = next(one for one in hands.frame.findChildren(FirstPage) if one.isVisible())
    beside = page.asked.width()
    assert beside < 700

    wear(Scheme.LIGHT, 200)
    hands.settle()

    assert page.asked.width() > 1200
    assert faults(hands.frame) == []
    wear(Scheme.LIGHT, 100)
    hands.settle()
    assert page.asked.width() == beside


def test_a_reminder_that_is_cut_keeps_its_buttons_and_they_act(remind: Remind, wear: Wear) -> None:
    """Without the names of their keys, which their tooltips tell."""
    wear(Scheme.LIGHT, 200)
    one = with_two_reminders(remind)
    assert one.desk.banner is not None
    restart, reminder = one.desk.banner.findChildren(NoticeBar)
    assert "…" in reminder.shown_text
    assert [button.words for button in reminder._buttons] == ["Show", "Close"]
    assert [button.toolTip() for button in reminder._buttons] == ["Ctrl+G", "Ctrl+Shift+G"]

    QTest.mouseClick(reminder._buttons[1], Qt.MouseButton.LeftButton)
    one.hands.settle()

    assert one.reminder == ""
    assert one.restart
    assert restart.isVisible()


def test_the_minutes_of_the_board_fold_on_a_low_page_and_unfold_for_the_keys(
    live_in: LiveIn, wear: Wear
) -> None:
    """At double type the bands have the room; Tab shows the days of each person."""
    wear(Scheme.LIGHT, 200)
    people = (Person("ada", "Ada", (10, 10, 10, 10, 10, 10, 10)), Person("bo", "Bo"))
    work = (
        chore("wipe", "Wipe the lid", 12, who=("ada",), minutes=25),
        chore("net", "Rinse the net", 12, who=("bo",), minutes=5),
    )
    hands = live_in(small_house(people=people, chores=work))
    hands.press("Ctrl+2", "B")
    board = hands.frame.findChild(BoardPage)
    assert board is not None
    strips = board.strips
    sheet = strips.sheet
    assert sheet is not None

    assert strips.is_folded
    assert strips.height() < 2 * line_height(strips.font(), TypeRole.BODY)
    assert folded_words(sheet, 0) == ("30\N{NO-BREAK SPACE}min", True)
    assert folded_words(sheet, 1) == ("0\N{NO-BREAK SPACE}min", False)
    told = "Ada, 25 minutes in 7 days, on 1 day more than given. Bo, 5 minutes in 7 days."
    assert strips.accessibleDescription() == told
    hands.press("Tab")
    assert strips.table.hasFocus()
    assert not strips.is_folded
    assert strips.table.isVisible()
    hands.press("Shift+Tab")
    assert board.table.hasFocus()
    assert strips.is_folded


def test_in_a_small_window_the_minutes_of_several_people_fold_to_numbers_that_stand_apart(
    live_in: LiveIn, wear: Wear
) -> None:
    """Three strips of bars would stand on each other; the unit is said once, and Tab unfolds."""
    wear(Scheme.LIGHT, 100)
    people = tuple(Person(name.lower(), name, (5,) * 7) for name in ("Ada", "Bo", "Cy"))
    work = chore("wipe", "Wipe the lid", 12, who=("ada",), minutes=138)
    hands = live_in(small_house(people=people, chores=(work,)))
    hands.window.shell.resize(760, 520)
    hands.press("Ctrl+2", "B")
    board = hands.frame.findChild(BoardPage)
    assert board is not None
    strips, table = board.strips, board.strips.table
    assert strips.sheet is not None
    assert strips.is_folded
    edges, style = board.table.column_edges(), style_for(strips.font())
    assert not has_room_for_unit(strips.sheet, edges, style)
    line = line_height(strips.font(), TypeRole.CAPTION)
    assert 2 * line <= strips.height() < 3 * line

    hands.press("Tab")

    assert table.hasFocus()
    assert not strips.is_folded
    # Name, number and bar of each stand under each other, in its whole height.
    assert table._bar >= LEAST_SHARE_OF_BAR * BAR_PX
    hands.press("Shift+Tab")
    assert strips.is_folded


def test_at_the_usual_type_the_minutes_of_the_board_have_their_strips(live_in: LiveIn) -> None:
    """There is room for both."""
    hands = live_in()
    hands.press("Ctrl+2", "B")
    board = hands.frame.findChild(BoardPage)
    assert board is not None
    assert not board.strips.is_folded
    assert board.strips.table.isVisible()


@pytest.mark.parametrize("percent", PERCENTS)
@pytest.mark.parametrize("width", [500, 800, 1240])
def test_what_has_no_thread_stands_apart_from_the_legend(
    qtbot, wear: Wear, width: int, percent: int
) -> None:  # type: ignore[no-untyped-def]
    """It is no mark: it ends the line on the other side, or has one of its own."""
    wear(Scheme.LIGHT, percent)
    around = QWidget()
    qtbot.addWidget(around)
    legend = MonthLegend(around)
    legend.set_more("3 of 11 waits drawn")
    legend.resize(width, legend.height())
    *marks, (x, row) = legend._placed()
    metrics = QFontMetricsF(type_font(legend.font(), TypeRole.CAPTION))
    last = WORDS[-1][1]
    end = marks[-1][0] + metrics_for(legend.font()).mark_small + 4 + metrics.horizontalAdvance(last)

    assert len(marks) == len(WORDS)
    assert row > marks[-1][1] or x - end >= Space.XXL - 1
    assert legend.height() >= (row + 1) * line_height(legend.font(), TypeRole.CAPTION)


def test_a_name_has_the_room_of_an_amount_that_is_empty(live_in: LiveIn) -> None:
    """Beside an amount it ends before it, and no column moves for either."""
    long = "Take the pump apart and rinse every part of it in warm vinegar"
    amount = Amount(9.0, AmountUnit.LITRES)
    chores = (
        chore("bare", long, 12),
        chore("change", long, 12, kind=ChoreKind.WATER_CHANGE, amount=amount),
        chore("lid", "Wipe the lid", 12),
    )
    hands = live_in(small_house(chores=chores))
    columns, delegate = hands.list.columns, hands.list.itemDelegate()
    assert not columns.has_two_lines
    bare, beside = (delegate.shown_name(hands.row(one)) for one in ("bare", "change"))
    metrics = QFontMetricsF(type_font(hands.list.font(), TypeRole.BODY, Weight.MEDIUM))

    assert len(bare) > len(beside)
    assert beside.endswith("…")
    assert columns.chore + metrics.horizontalAdvance(beside) <= columns.amount
    minutes = columns.minutes_right - columns.needs.minutes
    assert columns.chore + metrics.horizontalAdvance(bare) <= minutes


@pytest.mark.parametrize("percent", [150, 200])
def test_beside_two_reminders_an_entry_of_the_logbook_stands_whole(
    remind: Remind, wear: Wear, percent: int
) -> None:
    """The choices stand on one line and the title goes; the tab names the page as well."""
    wear(Scheme.LIGHT, percent)
    one = with_two_reminders(remind)
    one.hands.press("Ctrl+6")

    log = one.hands.frame.findChild(LogList)
    assert log is not None
    row = log.visualRect(log.log_model.index(0))
    assert log.viewport().rect().contains(row)
    assert faults(one.hands.frame) == []


def test_a_caution_keeps_the_buttons_of_a_form_on_the_screen_at_larger_type(
    live_in: LiveIn, wear: Wear
) -> None:
    """The fields scroll, the foot stands, and nothing is empty under the title."""
    wear(Scheme.LIGHT, 150)
    hands = live_in()
    hands.press("Ctrl+L")
    hands.type("r")
    form = hands.form()
    for key, typed in (("temperature", "31.5"), ("ammonia", "2")):
        form.readings.fields[key].field.setFocus()  # type: ignore[attr-defined]
        hands.type(typed)
    hands.press("Return")
    hands.settle()

    assert "Temperature" in form.accessibleDescription()
    room = form.screen().availableGeometry()
    assert form.height() <= min(room.height(), 800)
    assert form.rect().contains(form.primary.geometry())
    title = form.findChild(HeadingLabel)
    assert title is not None
    assert form.area.y() - title.geometry().bottom() < title.height()
    assert form.height() - form.primary.geometry().bottom() < 2 * form.primary.height()


@pytest.mark.parametrize("keys", ["Ctrl+L", "P", "Return", "Shift+P"])
def test_a_form_that_is_told_to_stand_in_the_corner_stays_in_the_middle(
    live_in: LiveIn, keys: str
) -> None:
    """A desktop tells so while it puts the title bar around it, which is above the screen then."""
    hands = live_in()
    hands.press(keys)
    form = hands.form()
    middle = form.geometry().center()

    form.move(0, -20)
    QApplication.sendEvent(form, QEvent(QEvent.Type.LayoutRequest))

    assert abs(form.geometry().center().x() - middle.x()) <= 1
    assert abs(form.geometry().center().y() - middle.y()) <= 10


@pytest.mark.parametrize("percent", [150, 200])
def test_beside_two_reminders_there_is_room_for_three_rows_of_the_round(
    remind: Remind, wear: Wear, percent: int
) -> None:
    """Sentence and title of the head go for them, whose counts stand in the rail; the sums stay."""
    wear(Scheme.LIGHT, percent)
    one = with_two_reminders(remind)

    row = one.hands.area("wipe")
    assert one.hands.list.viewport().height() >= 3 * row.height()
    assert one.hands.window.morning.page.head.figures.isVisible()  # type: ignore[union-attr]


@pytest.mark.parametrize(("percent", "size"), [(150, (900, 700)), (200, (1280, 800))])
def test_a_long_name_goes_on_in_the_second_line(
    live_in: LiveIn, wear: Wear, percent: int, size: tuple[int, int]
) -> None:
    """Where amount and caution leave it the room, done as well as due; else it is shortened."""
    wear(Scheme.LIGHT, percent)
    long = "Press the test button of the safety switch"
    chores = (
        chore("press", long, 12, caution="dry hands"),
        chore("check", f"{long} as well", 12),
        chore("endless", f"{long}{' and look whether the lamp goes out' * 3}", 12),
        chore("lid", "Wipe the lid", 12),
    )
    hands = live_in(small_house(chores=(*small_house().chores, *chores)), size=size)
    columns, delegate = hands.list.columns, hands.list.itemDelegate()
    assert columns.has_two_lines
    hands.go_to("check")
    hands.press("Space")

    small = QFontMetricsF(type_font(hands.list.font(), TypeRole.CAPTION, Weight.MEDIUM))
    for name in ("press", "check"):
        row = hands.row(name)
        below = delegate.name_below(row)
        assert below
        assert f"{delegate.shown_name(row)} {below}" == row.name
        sign = sign_width(hands.list.font()) if row.caution else 0.0
        assert columns.chore + small.horizontalAdvance(below) + sign < columns.minutes_right
    endless = hands.row("endless")
    assert delegate.name_below(endless) == delegate.name_below(hands.row("lid")) == ""
    assert delegate.shown_name(endless).endswith("…")


def test_the_field_with_the_keys_is_seen_with_its_whole_frame(live_in: LiveIn, wear: Wear) -> None:
    """At 150 % the form of readings scrolls: the last field stood there without its lower edge."""
    wear(Scheme.LIGHT, 150)
    hands = live_in()
    hands.press("Ctrl+L")
    hands.type("r")
    form = hands.form()
    stops = []
    while (here := form.focusWidget()) is not None and not isinstance(here, Button):
        seen = seen_of(here)
        stops.append((here.accessibleName(), seen.height() == here.height()))
        hands.press("Tab")
        assert len(stops) < 30

    assert form.area.verticalScrollBar().maximum() > 0
    assert stops[-1][0] == "Note"
    assert [name for name, is_whole in stops if not is_whole] == []
