"""What all work with files that people choose has in common: the dialog, and what is told of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QStandardPaths
from PySide6.QtWidgets import QFileDialog, QWidget

from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.gui.forms.form import Form
from tankkeeper.gui.shell import LAST_FOLDER
from tankkeeper.reports.faults import fault_words

if TYPE_CHECKING:
    from tankkeeper.gui.morning import Morning
    from tankkeeper.gui.session import Session

T = TypeVar("T")
_DOCUMENTS = QStandardPaths.StandardLocation.DocumentsLocation
_DATA = QStandardPaths.StandardLocation.GenericDataLocation


def ask_file(
    parent: QWidget,
    title: str,
    filters: str,
    chosen: Callable[[str], object],
    suffix: str = "",
    proposed: str = "",
    *,
    beside: str = "",
    writes_over: bool = True,
) -> None:
    """Ask for a file without holding the window up; one to be written where it has a suffix.

    `proposed` is how one to be written may be called; it begins in the folder that was used last,
    else in that of the file `beside`. Where it never `writes_over` a file, the dialog does not ask
    whether it may.
    """
    from tankkeeper.gui.forms.form import give_keys_back

    shell = _outermost(parent)
    folder = _first_folder(shell, beside)
    dialog = QFileDialog(
        parent, title, str(folder / proposed) if proposed else str(folder), filters
    )
    if suffix:
        # What is there already is written over only after the dialog has asked.
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setDefaultSuffix(suffix)
    else:
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
    if not writes_over:
        dialog.setOption(QFileDialog.Option.DontConfirmOverwrite)
    dialog.fileSelected.connect(lambda name: shell.setProperty(LAST_FOLDER, str(Path(name).parent)))
    dialog.fileSelected.connect(chosen)
    dialog.finished.connect(lambda _result: give_keys_back(dialog))
    dialog.finished.connect(dialog.deleteLater)
    dialog.open()


def _outermost(widget: QWidget) -> QWidget:
    """Return the window that a widget belongs to, also from within a form on it."""
    above = widget.parentWidget()
    return widget if above is None else _outermost(above)


def _first_folder(shell: QWidget, beside: str) -> Path:
    """Return the folder used last, else that of a file, else where the person keeps files."""
    last = shell.property(LAST_FOLDER)
    known = [Path(last)] if isinstance(last, str) and last else []
    # Where programs keep their own files nobody looks for a table or a copy.
    is_among_files = beside and not Path(beside).is_relative_to(_of_programs())
    known += [Path(beside).parent] if is_among_files else []
    known.append(Path(QStandardPaths.writableLocation(_DOCUMENTS)))
    return next((one for one in known if one.is_absolute() and one.is_dir()), Path.home())


def _of_programs() -> Path:
    return Path(QStandardPaths.writableLocation(_DATA))


def show_form(form: Form) -> None:
    """Open a form that goes with its closing."""
    form.finished.connect(form.deleteLater)
    form.open()


def writing_file(path: Path, work: Callable[[], T]) -> Callable[[], T]:
    """Return the work, with what the system refuses told by the file that was chosen."""

    def done() -> T:
        try:
            return work()
        except OSError as failure:
            why = failure.strerror or "the disk failed"
            raise UserFault("cannot_write_table", path=str(path), why=why) from failure

    return done


def reading_file(path: Path, work: Callable[[], T]) -> Callable[[], T]:
    """Return the work, with what the system refuses told by the file that was chosen."""

    def done() -> T:
        try:
            return work()
        except OSError as failure:
            why = failure.strerror or "the disk failed"
            raise UserFault("cannot_open", path=str(path), why=why) from failure

    return done


def sentence_of(error: Exception, session: Session) -> str:
    """Return the one sentence of a refusal, or raise what is none."""
    if not isinstance(error, TankkeeperError):
        raise error
    last = session.last
    return fault_words(error, last.sheet.words if last is not None else None)


def unless_stopped(morning: Morning) -> Callable[[Exception], None]:
    """Return what tells a failure; that somebody stopped it is no more than a line at the foot."""

    def failed(error: Exception) -> None:
        if isinstance(error, TankkeeperError) and error.code == "stopped":
            morning.told_and_refresh(fault_words(error))
        else:
            morning.failed(error)

    return failed
