"""The program's own log."""

from __future__ import annotations

import logging
from pathlib import Path

import pytest

from tankkeeper.app.log import KEPT_FILES, LARGEST_BYTES, logging_to


def test_the_log_is_cut_into_a_few_files(tmp_path: Path) -> None:
    """Five files of a megabyte at most, the oldest goes."""
    file = tmp_path / "deep" / "tankkeeper.log"
    line = "x" * 100_000
    with logging_to(lambda: file):
        for _ in range(70):
            logging.getLogger("tankkeeper.test").info(line)
    files = list(file.parent.iterdir())
    assert len(files) == KEPT_FILES
    assert all(one.stat().st_size <= LARGEST_BYTES for one in files)


def test_without_a_line_there_is_no_file(tmp_path: Path) -> None:
    """Looking leaves nothing behind."""
    with logging_to(lambda: tmp_path / "tankkeeper.log"):
        logging.getLogger("tankkeeper.test").debug("not kept")
    assert list(tmp_path.glob("*.log")) == []


def test_a_folder_that_cannot_be_made_is_no_failure(tmp_path: Path) -> None:
    """A file stands where the folder should be: nothing is logged, and nothing fails."""
    (tmp_path / "taken").touch()
    with logging_to(lambda: tmp_path / "taken" / "tankkeeper.log"):
        logging.getLogger("tankkeeper.test").info("said")
    assert (tmp_path / "taken").read_bytes() == b""


def test_the_logger_is_left_as_it_was(tmp_path: Path) -> None:
    """No handler stays behind."""
    before = list(logging.getLogger("tankkeeper").handlers)
    with logging_to(lambda: tmp_path / "a.log"):
        assert len(logging.getLogger("tankkeeper").handlers) == len(before) + 1
    assert logging.getLogger("tankkeeper").handlers == before


def test_what_the_database_library_complains_of_goes_to_the_log(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without a handler Python would print it on the terminal, with its trace."""
    with logging_to(lambda: tmp_path / "a.log"):
        logging.getLogger("sqlalchemy.pool.impl.QueuePool").error("Exception during reset")
    assert "Exception during reset" in (tmp_path / "a.log").read_text(encoding="utf-8")
    assert capsys.readouterr().err == ""
