"""Where a file that cannot be read in is told of."""

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QLineEdit

from tankkeeper.app.doors import _bring_in
from tankkeeper.core.household import Household
from tankkeeper.gui.widgets.why_panel import Notice
from tests.gui.conftest import LiveIn
from tests.gui.first_house import first_page
from tests.gui.round_house import Hands


def _import(hands: Hands, file: Path) -> None:
    """Choose a file by key in the dialog that Ctrl+I opens, with the program's own door."""
    from dataclasses import replace

    hands.window.doors = replace(hands.window.doors, bring_in=_bring_in)
    hands.press("Ctrl+I")
    dialog = next(one for one in hands.frame.findChildren(QFileDialog) if one.isVisible())
    name = dialog.findChild(QLineEdit)
    # Typed letter by letter it would be completed in a window of its own, which outlives the test.
    name.setText(str(file))  # type: ignore[union-attr]
    name.setFocus()  # type: ignore[union-attr]
    hands.press("Return")
    assert not dialog.isVisible()


def _broken(tmp_path: Path) -> Path:
    file = tmp_path / "broken.toml"
    file.write_text("[tank\n", encoding="utf-8")
    return file


def test_a_refused_import_is_told_in_the_why_panel_until_another_line_is_chosen(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """Not only at the foot, where nobody looks after choosing a file."""
    hands = live_in()

    _import(hands, _broken(tmp_path))

    assert hands.why.title == "Nothing was changed"
    assert "line 1" in hands.why.refusal.lower()
    hands.window.morning._poll.timeout.emit()  # type: ignore[union-attr]
    hands.settle()
    assert hands.why.refusal
    hands.list.setFocus()
    hands.press("Down")
    assert hands.why.refusal is None


def test_a_refused_import_is_told_on_the_page_of_a_household_without_tanks(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """The sentence stands below the button that was used; a second one takes its place."""
    hands = live_in(Household("Quay 3", "Europe/Berlin"))
    _import(hands, _broken(tmp_path))
    assert "line 1" in first_page(hands.window).refusal.text().lower()
    hands.press("Esc")

    for _ in range(2):
        _import(hands, _broken(tmp_path))

        notices = [one for one in hands.frame.stack.findChildren(Notice) if one.isVisible()]
        assert len(notices) == 1
        assert "line 1" in notices[0].label.text().lower()
