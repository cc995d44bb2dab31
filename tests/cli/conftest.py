"""A small invented household in a file of each test's own, and a way to type commands at it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from tankkeeper.app.main import main
from tankkeeper.cli import looking, session
from tests.cli.harbour import DEFINITIONS, NOW, Answer, AsTerminal, Type, log


@pytest.fixture
def type_(capsys: pytest.CaptureFixture[str]) -> Type:
    """Types a command line and gives its exit status and both outputs."""

    def run(*words: str) -> Answer:
        capsys.readouterr()
        status = main(words)
        out, err = capsys.readouterr()
        return Answer(status, out, err)

    return run


@pytest.fixture
def as_terminal(monkeypatch: pytest.MonkeyPatch) -> AsTerminal:
    """Makes the commands that follow believe in a terminal of so many columns."""

    def pretend(columns: int) -> None:
        monkeypatch.setenv("COLUMNS", str(columns))
        monkeypatch.setattr(session, "is_terminal", lambda: True)
        monkeypatch.setattr(looking, "is_terminal", lambda: True)

    return pretend


@pytest.fixture(scope="session")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, bytes]:
    """The file of the household, made once from its text."""
    folder = tmp_path_factory.mktemp("harbour")
    text = folder / "harbour.toml"
    text.write_text(DEFINITIONS + log(), encoding="utf-8")
    file = folder / "harbour.tankkeeper"
    with pytest.MonkeyPatch.context() as patch:
        for name in ("XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME", "HOME"):
            patch.setenv(name, str(folder))
        assert main(["--household", str(file), "--now", NOW, "import", str(text)]) == 0
    return {"household": file.read_bytes(), "text": text.read_bytes()}


@pytest.fixture
def house(made_once: Mapping[str, bytes], tmp_path: Path) -> Path:
    """The household in a file of its own."""
    file = tmp_path / "harbour.tankkeeper"
    file.write_bytes(made_once["household"])
    return file


@pytest.fixture
def at_house(type_: Type, house: Path) -> Type:
    """Types a command at the household; `now` is the morning of 2 March 2026."""

    def run(*words: str, now: str = NOW) -> Answer:
        return type_("--household", str(house), "--now", now, *words)

    return run
