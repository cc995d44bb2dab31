"""The why panel always tells the reason, cuts nothing, and its buttons tell what was asked."""

from dataclasses import replace

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QLabel, QScrollArea, QWidget

from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.buttons import Button, KeyedButton
from tankkeeper.gui.widgets.labels import PlainLabel
from tankkeeper.gui.widgets.why_panel import WhyCard, WhyPanel
from tests.gui.checks import cut_labels, nameless, overlapping
from tests.gui.invented import OVERDUE_CHANGE, REFUSED_MOVE

CARDS = {"overdue": OVERDUE_CHANGE, "refused": REFUSED_MOVE}


def _shown(qtbot, card: WhyCard | None, width: int = 256, height: int = 712) -> WhyPanel:  # type: ignore[no-untyped-def]
    panel = WhyPanel("Nothing is selected. Choose a row and its reason stands here.")
    qtbot.addWidget(panel)
    panel.resize(width, height)
    panel.show_card(card)
    with qtbot.waitExposed(panel):
        panel.show()
    return panel


def _texts(panel: QWidget) -> list[str]:
    return [label.text() for label in panel.findChildren(QLabel) if label.isVisibleTo(panel)]


@pytest.mark.parametrize("card", CARDS.values(), ids=CARDS)
def test_everything_of_a_card_is_told(qtbot, card: WhyCard) -> None:  # type: ignore[no-untyped-def]
    """Reason, numbers, last times, caution and refusal all stand in the panel."""
    texts = _texts(_shown(qtbot, card))

    wanted = [card.small, card.title, card.reason, card.caution]
    wanted += [part for row in (*card.numbers, *card.last_times) for part in row]
    wanted += [card.refusal] if card.refusal else []
    wanted += [action.key for action in card.actions]
    assert [text for text in wanted if text not in texts] == []


@pytest.mark.parametrize("scheme", [Scheme.LIGHT, Scheme.DARK])
@pytest.mark.parametrize("percent", [100, 125, 150, 200])
@pytest.mark.parametrize("card", CARDS.values(), ids=CARDS)
def test_nothing_is_cut_and_nothing_overlaps(  # type: ignore[no-untyped-def]
    qtbot, wear, card: WhyCard, percent: int, scheme: Scheme
) -> None:
    """At every size of type each text has the room it needs."""
    wear(scheme, percent)
    panel = _shown(qtbot, card, width=round(256 * percent / 100))

    assert cut_labels(panel) == []
    assert overlapping(panel) == []


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_the_buttons_stay_in_the_panel_and_keep_their_words(qtbot, wear, percent: int) -> None:  # type: ignore[no-untyped-def]
    """The actions are at the foot, never under what scrolls, and 36 px high or more."""
    wear(Scheme.LIGHT, percent)
    panel = _shown(qtbot, REFUSED_MOVE, width=round(256 * percent / 100))
    scroll = panel.findChild(QScrollArea)

    buttons = panel.findChildren(Button)
    assert len(buttons) == len(REFUSED_MOVE.actions)
    for button in buttons:
        place = QRect(button.mapTo(panel, button.rect().topLeft()), button.size())
        assert panel.rect().contains(place), button.words
        assert place.top() >= scroll.geometry().bottom()
        assert button.width() >= button.minimumSizeHint().width()
        assert button.height() >= round(36 * percent / 100)


def test_a_button_tells_its_id_by_mouse_and_by_key(qtbot) -> None:  # type: ignore[no-untyped-def]
    """Keyboard and mouse are equal."""
    panel = _shown(qtbot, OVERDUE_CHANGE)
    told: list[str] = []
    panel.acted.connect(told.append)
    tick, put_off, _ = panel.findChildren(Button)

    qtbot.mouseClick(tick, Qt.MouseButton.LeftButton)
    qtbot.keyClick(put_off, Qt.Key.Key_Space)

    assert told == ["tick", "put-off"]


def test_a_new_card_replaces_the_old_one(qtbot, qapp) -> None:  # type: ignore[no-untyped-def]
    """Nothing of the former selection is left, neither words nor buttons."""
    panel = _shown(qtbot, REFUSED_MOVE)

    panel.show_card(OVERDUE_CHANGE)
    qapp.sendPostedEvents(None, 52)

    assert REFUSED_MOVE.refusal not in _texts(panel)
    assert len(panel.findChildren(KeyedButton)) == 3
    assert panel.card is OVERDUE_CHANGE


def test_without_a_selection_it_says_so(qtbot) -> None:  # type: ignore[no-untyped-def]
    """The panel is never simply empty."""
    panel = _shown(qtbot, None)

    assert any("Nothing is selected" in text for text in _texts(panel))
    assert panel.findChildren(Button) == []


def test_a_tall_reason_scrolls_with_the_keys(qtbot) -> None:  # type: ignore[no-untyped-def]
    """What does not fit is reached by the arrow keys."""
    panel = _shown(qtbot, replace(OVERDUE_CHANGE, reason="A long reason. " * 60), height=400)
    scroll = panel.findChild(QScrollArea)
    bar = scroll.verticalScrollBar()
    assert bar.maximum() > 0

    panel.setFocus()
    qtbot.keyClick(scroll, Qt.Key.Key_PageDown)

    assert bar.value() > 0


def test_home_and_end_go_to_the_ends_of_a_tall_reason(qtbot) -> None:  # type: ignore[no-untyped-def]
    """As everywhere where PgUp and PgDown go by a page."""
    panel = _shown(qtbot, replace(OVERDUE_CHANGE, reason="A long reason. " * 60), height=400)
    scroll = panel.findChild(QScrollArea)
    bar = scroll.verticalScrollBar()
    panel.setFocus()

    qtbot.keyClick(scroll, Qt.Key.Key_End)
    assert bar.value() == bar.maximum() > 0
    qtbot.keyClick(scroll, Qt.Key.Key_Home, Qt.KeyboardModifier.KeypadModifier)
    assert bar.value() == bar.minimum()


def test_a_screen_reader_hears_the_whole_card(qtbot) -> None:  # type: ignore[no-untyped-def]
    """Small line, title, reason, refusal and caution are the description of the panel."""
    panel = _shown(qtbot, REFUSED_MOVE)
    spoken = QAccessible.queryAccessibleInterface(panel.findChild(QScrollArea))

    told = spoken.text(QAccessible.Text.Description)

    assert told.startswith("Nook, today. Top off. At 0.95")
    assert "Cannot stand on Friday 13" in told
    assert nameless(panel) == []


def test_text_is_never_taken_for_markup(qtbot) -> None:  # type: ignore[no-untyped-def]
    """A name with angle brackets or an ampersand is shown as it was typed."""
    odd = replace(OVERDUE_CHANGE, title="<b>Salt & sand</b>", caution="<img src=x>")

    panel = _shown(qtbot, odd)

    for label in panel.findChildren(QLabel):
        assert isinstance(label, PlainLabel)
        assert label.textFormat() is Qt.TextFormat.PlainText
    assert "<b>Salt & sand</b>" in _texts(panel)


def test_amounts_stay_in_their_column_where_nobody_is_named(qtbot) -> None:  # type: ignore[no-untyped-def]
    """A name that is missing leaves its place empty; an amount that is missing, too."""
    times = (("6 Nov", "40 L", "Paul"), ("23 Oct", "38 L", ""), ("6 Oct", "", "Paul"))
    panel = _shown(qtbot, replace(OVERDUE_CHANGE, last_times=times), height=1200)
    shown = [one for one in panel.findChildren(PlainLabel) if one.isVisibleTo(panel)]

    def ends_of(*texts: str) -> set[int]:
        found = [one for one in shown if one.text() in texts]
        return {one.mapTo(panel, one.rect().topRight()).x() for one in found}

    assert len(ends_of("40 L", "38 L")) == 1
    assert len(ends_of("Paul")) == 1
    assert ends_of("38 L") != ends_of("Paul")


def test_until_something_was_told_the_panel_says_nothing(qtbot) -> None:  # type: ignore[no-untyped-def]
    """In the first moment of the window a line may be chosen that it does not know of yet."""
    panel = WhyPanel("Choose a chore.")
    qtbot.addWidget(panel)
    panel.show()
    assert [text for text in _texts(panel) if text] == []

    panel.show_card(None)

    assert _texts(panel) == ["Choose a chore."]
