"""Starts a bare window, or the whole frame, and prints when it was painted: for the start test."""

import sys
import time

START = time.perf_counter()


def main(which: str) -> None:
    """Show the window that is named and print the milliseconds until it was painted."""
    from PySide6.QtWidgets import QApplication, QLabel, QMainWindow

    app = QApplication([])
    app.setStyle("Fusion")
    if which == "bare":
        window = QMainWindow()
        window.setCentralWidget(QLabel("tankkeeper"))
    else:
        from tests.gui.invented import a_frame

        window = a_frame()
    window.resize(1280, 800)
    window.show()
    app.processEvents()
    print(round((time.perf_counter() - START) * 1000, 1))


if __name__ == "__main__":
    main(sys.argv[1])
