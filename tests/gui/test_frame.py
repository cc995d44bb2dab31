"""The frame steps with its width, goes round by F6, and cuts nothing at any size of type."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication, QWidget

from tankkeeper.gui.frame import Frame
from tankkeeper.gui.palette import Role, Scheme, colours
from tankkeeper.gui.widgets.focus import is_inside
from tests.gui.checks import cut_labels, nameless, overlapping
from tests.gui.invented import MANY, OVERDUE_CHANGE, THREE, a_frame


def _shown(qtbot, width: int, height: int, **parts: object) -> Frame:  # type: ignore[no-untyped-def]
    frame = a_frame(**parts)  # type: ignore[arg-type]
    qtbot.addWidget(frame)
    frame.resize(width, height)
    with qtbot.waitActive(frame):
        frame.show()
    return frame


def _area(frame: Frame) -> str:
    here = QApplication.focusWidget()
    for name, widget in (
        ("views", frame.top),
        ("rail", frame.rail),
        ("content", frame.stack),
        ("why", frame.why),
    ):
        if is_inside(here, widget):
            return name
    return "nowhere"


@pytest.mark.parametrize(
    ("width", "rail", "content", "has_why"),
    [
        (1440, 216, 928, True),
        (1280, 196, 828, True),
        (1199, 196, 1003, False),
        (980, 148, 832, False),
    ],
)
def test_the_parts_step_with_the_width(  # type: ignore[no-untyped-def]
    qtbot, width: int, rail: int, content: int, has_why: bool
) -> None:
    """Rail 216 or 196, why panel 296 or 256, a drawer under 1200, names only under 1000."""
    frame = _shown(qtbot, width, 800)

    assert frame.stack.x() == rail
    assert frame.stack.width() == content
    assert frame.why.isVisible() is has_why


@pytest.mark.parametrize("width", [1440, 1280, 1100])
def test_title_and_first_view_word_share_one_line(qtbot, width: int) -> None:  # type: ignore[no-untyped-def]
    """The first word stands on the left edge of the content, 24 px inside."""
    frame = _shown(qtbot, width, 800)

    views = frame.top.views
    word = views.mapTo(frame, QPoint(0, 0)).x() + views.lead

    assert word == frame.stack.mapTo(frame, QPoint(0, 0)).x() + 24


@pytest.mark.parametrize("width", [1280, 1100])
def test_f1_leads_into_the_why_panel_and_back(qtbot, width: int) -> None:  # type: ignore[no-untyped-def]
    """Beside the content as well as in a drawer: the same key leads both ways."""
    frame = _shown(qtbot, width, 800)
    qtbot.keyClick(frame, Qt.Key.Key_F6)
    before = _area(frame)

    qtbot.keyClick(frame, Qt.Key.Key_F1)
    assert _area(frame) == "why"

    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_F1)
    assert _area(frame) == "content", before


def test_resizing_moves_the_parts_back_and_forth(qtbot) -> None:  # type: ignore[no-untyped-def]
    """A drawer that was open is beside the content again when there is room."""
    frame = _shown(qtbot, 1280, 800)
    frame.resize(1100, 800)
    frame.open_why()
    assert frame.is_why_open

    frame.resize(1440, 900)
    assert frame.stack.width() + frame.why.width() + frame.stack.x() == 1440

    frame.resize(1100, 800)
    assert not frame.is_why_open


def test_f6_goes_round_views_rail_content_and_why_panel(qtbot) -> None:  # type: ignore[no-untyped-def]
    """And Shift and F6 go back."""
    frame = _shown(qtbot, 1280, 800)
    frame.top.views.setFocus()

    visited = []
    for _ in range(4):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_F6)
        visited.append(_area(frame))
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_F6, Qt.KeyboardModifier.ShiftModifier)

    assert visited == ["rail", "content", "why", "views"]
    assert _area(frame) == "why"


def test_f6_leaves_out_a_closed_drawer(qtbot) -> None:  # type: ignore[no-untyped-def]
    """What cannot be seen cannot be reached."""
    frame = _shown(qtbot, 1100, 800)
    frame.top.views.setFocus()

    visited = []
    for _ in range(3):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_F6)
        visited.append(_area(frame))

    assert visited == ["rail", "content", "views"]


def test_f1_opens_the_drawer_and_escape_closes_it(qtbot) -> None:  # type: ignore[no-untyped-def]
    """The keys go into the drawer and back to the content."""
    frame = _shown(qtbot, 1100, 800)
    frame.rail.setFocus()
    told: list[bool] = []
    frame.why_toggled.connect(told.append)

    qtbot.keyClick(frame.rail, Qt.Key.Key_F1)
    assert frame.why.isVisible()
    assert _area(frame) == "why"

    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Escape)
    assert not frame.why.isVisible()
    assert _area(frame) == "content"
    assert told == [True, False]


def test_ctrl_and_arrows_choose_tanks_from_anywhere(qtbot) -> None:  # type: ignore[no-untyped-def]
    """The rail need not have the focus."""
    frame = _shown(qtbot, 1280, 800)
    frame.top.views.setFocus()
    control = Qt.KeyboardModifier.ControlModifier

    for _ in range(2):
        qtbot.keyClick(frame.top.views, Qt.Key.Key_Down, control)
    qtbot.keyClick(frame.top.views, Qt.Key.Key_Up, control)
    assert frame.rail.chosen_id == "skerry"

    qtbot.keyClick(frame.top.views, Qt.Key.Key_Home, control)
    assert frame.rail.chosen_id is None


def test_a_view_is_told_before_its_page_is_shown(qtbot) -> None:  # type: ignore[no-untyped-def]
    """So its page can be made when it is first wanted."""
    frame = _shown(qtbot, 1280, 800)
    page = QWidget()

    def make(view_id: str) -> None:
        if not frame.has_page(view_id):
            frame.add_page(view_id, page)

    frame.view_chosen.connect(make)
    frame.top.views.setFocus()
    qtbot.keyClick(frame.top.views, Qt.Key.Key_Right)

    assert frame.view_id == "calendar"
    assert frame.stack.currentWidget() is page
    frame.show_view("round")
    assert frame.stack.currentWidget() is not page


def test_ctrl_and_a_digit_go_to_a_view(qtbot) -> None:  # type: ignore[no-untyped-def]
    """From anywhere in the window."""
    frame = _shown(qtbot, 1280, 800)
    frame.rail.setFocus()

    qtbot.keyClick(frame.rail, Qt.Key.Key_4, Qt.KeyboardModifier.ControlModifier)
    assert frame.view_id == "readings"
    qtbot.keyClick(frame.rail, Qt.Key.Key_1, Qt.KeyboardModifier.ControlModifier)
    assert frame.view_id == "round"


def test_the_thin_line_comes_only_when_work_takes_long(qtbot) -> None:  # type: ignore[no-untyped-def]
    """Under 300 ms nothing is shown; when it is shown nothing else moves."""
    frame = _shown(qtbot, 1280, 800)
    before = frame.stack.geometry()
    frame.set_waiting(True)
    frame.set_waiting(False)
    assert not [w for w in frame.findChildren(QWidget) if w.accessibleName() == "Working"]

    frame.set_waiting(True)
    qtbot.waitUntil(
        lambda: any(w.accessibleName() == "Working" for w in frame.findChildren(QWidget)),
        timeout=20_000,
    )

    assert frame.stack.geometry() == before
    frame.set_waiting(False)


def test_a_person_is_chosen_from_the_menu(qtbot) -> None:  # type: ignore[no-untyped-def]
    """The button shows who it is, and says it to a screen reader."""
    frame = _shown(qtbot, 1280, 800)
    mika = next(action for action in frame.top.people_menu().actions() if action.text() == "Mika")

    with qtbot.waitSignal(frame.person_chosen) as told:
        mika.trigger()

    assert told.args == ["Mika"]
    assert frame.top.person.accessibleName() == "Mika, who minds the tanks"


def test_the_keys_of_the_menu_begin_at_who_is_at_the_window(qtbot) -> None:  # type: ignore[no-untyped-def]
    """So Down and Return choose the next one, and the first Return is not lost."""
    frame = _shown(qtbot, 1280, 800)
    menu = frame.top.people_menu()
    own = next(one for one in menu.actions() if one.isChecked())

    menu.popup(frame.mapToGlobal(frame.rect().center()))
    qtbot.waitUntil(lambda: menu.activeAction() is own)

    menu.close()


@pytest.mark.parametrize(
    ("size", "percent"),
    [(size, p) for size in ((1280, 800), (1440, 900)) for p in (100, 125, 150, 200)]
    + [((1100, 700), p) for p in (100, 125, 150)],
)
def test_nothing_is_cut_and_nothing_overlaps(  # type: ignore[no-untyped-def]
    qtbot, wear, size: tuple[int, int], percent: int
) -> None:
    """With names of twenty letters, in any size of type."""
    wear(Scheme.LIGHT, percent)
    frame = _shown(qtbot, *size, cards=MANY, household="Harbour Street forty")
    if frame.metrics.why_is_drawer:
        frame.open_why()

    assert cut_labels(frame.top) + cut_labels(frame.why) + cut_labels(frame.bottom) == []
    assert overlapping(frame.top) + overlapping(frame.why) + overlapping(frame.bottom) == []
    views = frame.top.views
    last = views.tabRect(views.count() - 1)
    assert last.right() <= views.width()


def test_the_ring_of_the_first_view_is_whole(qtbot, wear) -> None:  # type: ignore[no-untyped-def]
    """It stands around the word, and its left side within the row of words."""
    wear(Scheme.LIGHT, 100)
    frame = _shown(qtbot, 1280, 800)
    views = frame.top.views
    views.setFocus()

    shot = views.grab().toImage()

    middle = round(shot.height() / 2 / shot.devicePixelRatio())
    sea = colours(Scheme.LIGHT)[Role.SEA]
    assert views.currentIndex() == 0
    assert shot.pixelColor(0, middle) == sea


def test_where_the_words_cannot_all_stand_the_chosen_one_does(qtbot, wear) -> None:  # type: ignore[no-untyped-def]
    """A small window with double type scrolls its words; the chosen one is always seen whole."""
    wear(Scheme.LIGHT, 200)
    frame = _shown(qtbot, 1000, 700)
    views = frame.top.views
    views.setFocus()

    for number in range(1, views.count()):
        qtbot.keyClick(views, Qt.Key.Key_Right)
        word = views.tabRect(number)
        assert word.left() >= 0
        assert word.right() <= views.width()


def test_everything_that_can_be_reached_has_a_name(qtbot) -> None:  # type: ignore[no-untyped-def]
    """A walk over all widgets finds none that says nothing to a screen reader."""
    frame = _shown(qtbot, 1280, 800)

    assert nameless(frame) == []


def test_the_walk_finds_a_nameless_button(qtbot) -> None:  # type: ignore[no-untyped-def]
    """Otherwise the check above could not fail."""
    from PySide6.QtWidgets import QToolButton

    frame = _shown(qtbot, 1280, 800)
    QToolButton(frame).show()

    assert nameless(frame) == ["QToolButton "]


def test_the_views_are_tabs_to_a_screen_reader(qtbot) -> None:  # type: ignore[no-untyped-def]
    """Role and names come from Qt's own tab bar."""
    frame = _shown(qtbot, 1280, 800)
    spoken = QAccessible.queryAccessibleInterface(frame.top.views)

    names = [
        spoken.child(number).text(QAccessible.Text.Name) for number in range(spoken.childCount())
    ]

    assert spoken.role() == QAccessible.Role.PageTabList
    assert names[:7] == ["Round", "Calendar", "Water", "Readings", "Cupboard", "Logbook", "Away"]


@pytest.mark.parametrize("scheme", [Scheme.LIGHT, Scheme.DARK])
def test_if_nothing_is_wrong_there_is_no_rust_on_the_screen(qtbot, wear, scheme: Scheme) -> None:  # type: ignore[no-untyped-def]
    """The colour of overdue is kept for what is overdue, refused or out of range."""
    from dataclasses import replace

    from tankkeeper.gui.marks import Mark

    wear(scheme, 100)
    calm = tuple(replace(card, overdue=0) for card in THREE)
    due = replace(OVERDUE_CHANGE, mark=Mark.DUE)
    frame = _shown(qtbot, 1280, 800, cards=calm, why=due)
    frame.stack.hide()
    rust = colours(scheme)[Role.OVERDUE].rgb()
    image = frame.grab().toImage()

    found = [
        (x, y)
        for x in range(image.width())
        for y in range(0, image.height(), 2)
        if image.pixel(x, y) == rust
    ]

    assert found == []


def test_a_change_of_scheme_repaints_everything(qtbot, wear) -> None:  # type: ignore[no-untyped-def]
    """Nothing keeps a colour from when it was made."""
    wear(Scheme.LIGHT, 100)
    frame = _shown(qtbot, 1280, 800)
    wear(Scheme.DARK, 100)
    image = frame.grab().toImage()
    light = {colours(Scheme.LIGHT)[role].rgb() for role in (Role.GROUND, Role.SURFACE)}

    corners = [
        image.pixel(x, y) for x, y in ((2, 2), (2, 790), (600, 600), (1270, 600), (100, 750))
    ]

    assert not light & set(corners)
