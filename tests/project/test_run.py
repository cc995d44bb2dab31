"""The starter decides rightly what to start and what is missing."""

import ast
import importlib.util
import os
import runpy
import subprocess
import sys
import threading
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture
def run(project: Path) -> ModuleType:
    """packaging/run.py as a module of this test alone."""
    spec = importlib.util.spec_from_file_location("run", project / "packaging" / "run.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


class Started:
    """Stands for what would be prepared and started."""

    def __init__(self, run: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
        self.command: list[str] = []
        self.libraries: dict[str, str] = {}
        monkeypatch.setattr(run, "prepared", self._prepare)
        monkeypatch.setattr(run, "replace_process", self._start)

    def _prepare(self, libraries: dict[str, str], locks: list[str]) -> Path:
        self.libraries = libraries
        return Path("python")

    def _start(self, command: list[str]) -> int:
        self.command = command
        return 0


@pytest.fixture
def started(run: ModuleType, monkeypatch: pytest.MonkeyPatch) -> Started:
    """A starter that records instead of starting, on a Linux machine without a screen."""
    monkeypatch.setattr(sys, "platform", "linux")
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    return Started(run, monkeypatch)


def test_without_a_screen_the_round_is_printed_and_the_reason_said(
    run: ModuleType, started: Started, capsys: pytest.CaptureFixture[str]
) -> None:
    """No screen is no failure: the sample's round comes in the terminal, and needs no Qt."""
    status = run.main([])

    assert status == 0
    assert started.command == ["python", "-P", "-m", "tankkeeper", "--demo", "round"]
    assert started.libraries == {}
    said = capsys.readouterr()
    assert "There is no screen here" in said.err
    assert "--snapshot FILE.png" in said.err
    assert said.out == ""


def test_with_a_screen_the_window_opens_on_the_sample(
    run: ModuleType, started: Started, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The program is asked for the demo, and the screen's own libraries are looked for."""
    monkeypatch.setenv("DISPLAY", ":0")

    run.main([])

    assert started.command == ["python", "-P", "-m", "tankkeeper", "--demo"]
    assert set(started.libraries) == {*run.OFFSCREEN, *run.X11}


def test_a_picture_needs_no_screen(
    run: ModuleType, started: Started, monkeypatch: pytest.MonkeyPatch
) -> None:
    """--snapshot paints on Qt's offscreen platform."""
    monkeypatch.setenv("QT_QPA_PLATFORM", "")  # restored after the test, whatever run.py sets
    monkeypatch.delenv("QT_QPA_PLATFORM")

    run.main(["--snapshot", "round.png"])

    assert started.command[4:] == ["--demo", "--snapshot", "round.png"]
    assert os.environ["QT_QPA_PLATFORM"] == "offscreen"
    assert set(started.libraries) == set(run.OFFSCREEN)


def test_a_person_without_rights_gets_the_one_command_to_type(
    run: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Only what is missing is named, and the list of packages is read first where there is none."""
    monkeypatch.setattr(os, "geteuid", lambda: 1000, raising=False)
    monkeypatch.setattr(run.shutil, "which", lambda name: f"/usr/bin/{name}")
    monkeypatch.setattr(run, "APT_LISTS", tmp_path)
    monkeypatch.setattr(run, "loads", lambda library: library != "libGL.so.1")
    missing = run.missing_packages(run.OFFSCREEN, has_environment=True)

    with pytest.raises(SystemExit) as refusal:
        run.install_packages(missing)

    command = "sudo apt-get update && sudo apt-get install --yes --no-install-recommends libgl1"
    assert str(refusal.value.code).rstrip().endswith(command)


def test_an_old_python_is_refused_in_one_sentence(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever starts it with an old Python reads which one is needed, not a traceback."""
    monkeypatch.setattr(sys, "version_info", (3, 9, 2, "final", 0))

    with pytest.raises(SystemExit) as refusal:
        runpy.run_path(str(project / "packaging" / "run.py"))

    assert str(refusal.value.code).startswith("tankkeeper needs Python 3.11 or newer")


def test_an_old_python_can_read_the_starter(project: Path) -> None:
    """The sentence above is reached only if the file holds no newer syntax."""
    source = (project / "packaging" / "run.py").read_text(encoding="utf-8")

    assert ast.parse(source, feature_version=(3, 7))


def test_an_environment_is_ready_only_for_the_locks_it_was_made_for(
    run: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A changed lock, or a set-up that was cut short, is completed at the next start."""
    folder = tmp_path / ".venv"
    run.python_of(folder).parent.mkdir(parents=True)
    run.python_of(folder).touch()
    (tmp_path / "app.txt").write_text("one")
    monkeypatch.setattr(run, "LOCKS", tmp_path)
    before = run.is_ready(folder, ["app.txt"])
    stamp = run.stamp_file(folder, ["app.txt"])
    stamp.write_text(run.stamp_text(folder, ["app.txt"]))
    stamped = run.is_ready(folder, ["app.txt"])

    (tmp_path / "app.txt").write_text("two")

    assert (before, stamped, run.is_ready(folder, ["app.txt"])) == (False, True, False)


@pytest.mark.skipif(sys.platform == "win32", reason="the lock of Windows counts processes")
def test_two_starts_at_once_set_up_one_after_the_other(run: ModuleType, tmp_path: Path) -> None:
    """The second waits until the first is done."""
    entered = threading.Event()

    def second_start() -> None:
        with run.only_one_at_a_time(tmp_path / ".venv"):
            entered.set()

    thread = threading.Thread(target=second_start)
    with run.only_one_at_a_time(tmp_path / ".venv"):
        thread.start()
        waited = not entered.wait(timeout=0.2)
    thread.join(timeout=10)

    assert waited
    assert entered.is_set()


@pytest.mark.parametrize("failing", ["ruff check", "mypy", "lint-imports", "pytest"])
def test_a_failed_check_fails_the_whole_but_stops_none_of_the_others(
    run: ModuleType,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
    tmp_path: Path,
    failing: str,
) -> None:
    """One run tells everything that is wrong, and its status is not zero.

    In place of each tool stands a script that notes that it ran, and fails where it is to.
    """
    tool = (
        "import sys\n"
        "named = ' '.join(sys.argv[1:])\n"
        "print('ran', named)\n"
        f"sys.exit({failing!r} in named)\n"
    )
    script = tmp_path / "tool.py"
    script.write_text(tool, encoding="utf-8")
    started: list[str] = []

    def stood_in(command: list[str], **settings: object) -> list[str]:
        assert settings["cwd"] == str(run.PROJECT)
        named = Path(command[0]).name if command[1] != "-m" else command[2]
        started.append(named)
        return [sys.executable, "-B", str(script), named, *command[1:]]

    call, popen = subprocess.call, subprocess.Popen
    monkeypatch.setattr(run, "prepared", lambda libraries, locks: Path("bin/python"))
    monkeypatch.setattr(
        run.subprocess, "call", lambda one, **more: call(stood_in(one, **more), **more)
    )
    monkeypatch.setattr(
        run.subprocess,
        "Popen",
        lambda one, **more: popen(
            one if script in map(Path, one) else stood_in(one, **more), **more
        ),
    )

    status = run.main(["test"])

    said = capfd.readouterr()
    assert status == 1
    # The tests are compiled first, by one process for all.
    assert sorted(started) == ["lint-imports", "mypy", "pytest", "pytest", "ruff", "ruff"]
    assert said.err.endswith(f"Failed: {failing}.\n")
    for name in ("ruff check", "ruff format", "pytest", "mypy", "lint-imports"):
        assert f"ran {name}" in said.out


@pytest.mark.parametrize(("locks", "is_left"), [("RUN_LOCKS", False), ("TEST_LOCKS", True)])
def test_what_the_tests_compile_themselves_is_not_compiled_before(
    run: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, locks: str, is_left: bool
) -> None:
    """The tests keep it in a folder of their own; the program looks beside its libraries."""
    commands: list[list[str]] = []
    monkeypatch.setattr(run, "packages_folder", lambda python: tmp_path)
    monkeypatch.setattr(run, "run", commands.append)

    run.complete(tmp_path, getattr(run, locks))

    (install,) = commands
    assert ("--no-compile" in install) is is_left
