"""Shows a bare window, or the empty frame, until it is painted: for the comparison of starts."""

import sys
from pathlib import Path


def main(which: str) -> None:
    """Show the window that is named and leave when it was painted."""
    from PySide6.QtWidgets import QApplication, QLabel, QMainWindow

    app = QApplication([])
    app.setStyle("Fusion")
    if which == "bare":
        window = QMainWindow()
        window.setCentralWidget(QLabel("tankkeeper"))
    else:
        window = _frame(app)
    window.resize(1280, 800)
    window.show()
    app.processEvents()


def _frame(app):  # type: ignore[no-untyped-def]
    from tankkeeper.gui.frame import Frame
    from tankkeeper.gui.icons import Icon, Icons
    from tankkeeper.gui.palette import Scheme, qt_palette
    from tankkeeper.gui.widgets.bars import ViewWord
    from tankkeeper.gui.widgets.rail import TankRail
    from tankkeeper.gui.widgets.why_panel import WhyPanel

    app.setPalette(qt_palette(Scheme.LIGHT))
    icons = Icons(Path(__file__).resolve().parents[2] / "resources" / "icons")
    words = [ViewWord(icon.value, icon.value.capitalize(), icon) for icon in list(Icon)[:7]]
    return Frame("Harbour Street 4", words, TankRail(), WhyPanel("Nothing is selected."), icons)


if __name__ == "__main__":
    main(sys.argv[1])
