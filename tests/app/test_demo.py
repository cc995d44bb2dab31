"""The sample household in a copy that may be spoiled."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import time
from pathlib import Path

import pytest

from tankkeeper.app import demo
from tankkeeper.app.bootstrap import desk_on
from tankkeeper.app.clock import SystemClock
from tankkeeper.app.demo import KEPT_ASIDE, ready_demo
from tankkeeper.app.main import main
from tankkeeper.app.paths import demo_file
from tankkeeper.cli.values import Hours
from tankkeeper.services.ports import Clock

NOW = "2026-03-02T07:00"


@dataclass(frozen=True)
class _Sample:
    """The hours by which a moment of the sample is read."""

    zone: str = "Europe/Berlin"
    round_at: time = time(7)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return where each sample lies that was made."""
    return tmp_path_factory.mktemp("samples")


@pytest.fixture(autouse=True)
def _made_once(monkeypatch: pytest.MonkeyPatch, shelf: Path) -> None:
    """The sample of a moment is lived once, and copied from then on."""
    make = demo.make_sample

    def copied(where: Path, clock_in: Callable[[Hours], Clock]) -> Clock:
        clock = clock_in(_Sample())
        kept = shelf / f"{clock.now():%Y%m%d}.tankkeeper"
        if not kept.exists():
            make(kept, clock_in)
        shutil.copy(kept, where)
        return clock

    monkeypatch.setattr(demo, "make_sample", copied)


def _demo(*words: str, now: str = NOW) -> int:
    return main(["--demo", "--now", now, *words])


def _names() -> list[str]:
    """Return the households; beside the copy stands when it was made."""
    return sorted(one.name for one in demo_file().parent.glob("*.tankkeeper"))


def test_the_demo_is_made_when_it_is_missing(capsys: pytest.CaptureFixture[str]) -> None:
    """Without any preparation, and its first line says that it is the sample."""
    assert _demo("round") == 0
    out = capsys.readouterr().out
    assert "(sample household)" in out.splitlines()[0]
    assert "overdue" in out


def test_what_is_done_in_the_demo_is_kept(capsys: pytest.CaptureFixture[str]) -> None:
    """A tick of this morning is still there, also a few days later."""
    _demo("log", "note", "kept as it is")
    for now in (NOW, "2026-03-08T07:00"):
        capsys.readouterr()
        assert _demo("logbook", now=now) == 0
        assert "kept as it is" in capsys.readouterr().out
    assert _names() == ["sample.tankkeeper"]


@pytest.mark.parametrize("now", ["2026-03-10T07:00", "2026-02-01T07:00"])
def test_a_stale_demo_is_put_aside(capsys: pytest.CaptureFixture[str], now: str) -> None:
    """Untouched for a week, or from days that have not come yet: made anew, the old one kept."""
    _demo("log", "note", "of last week")
    capsys.readouterr()
    assert _demo("logbook", now=now) == 0
    said = capsys.readouterr()
    assert "of last week" not in said.out
    assert said.err == (
        "The sample was made anew: in the old one nothing was written for a week, or it was "
        "written after the clock of now, or it cannot be read; that one is "
        "sample-old-1.tankkeeper beside it.\n"
    )
    assert _names() == ["sample-old-1.tankkeeper", "sample.tankkeeper"]


def test_what_is_written_today_of_long_ago_makes_nothing_stale(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A top-off of ten days ago that is told today, as somebody does who was away."""
    _demo("round")
    _demo("log", "note", "of long ago", "--at", "2026-02-20T07:00")
    assert _demo("logbook") == 0
    assert "of long ago" in capsys.readouterr().out
    assert _names() == ["sample.tankkeeper"]


def test_what_was_taken_back_was_written_as_well(capsys: pytest.CaptureFixture[str]) -> None:
    """A note of six days ago that was taken back then: somebody was here within the week."""
    _demo("round")
    assert _demo("log", "note", "for nothing", now="2026-03-08T07:00") == 0
    assert _demo("undo", now="2026-03-08T07:01") == 0

    assert _demo("logbook", now="2026-03-14T07:00") == 0

    assert "for nothing" in capsys.readouterr().out
    assert _names() == ["sample.tankkeeper"]


def test_a_copy_that_somebody_has_open_is_not_put_aside(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A window that stood open for days, and a command beside it."""
    _demo("log", "note", "of last week")
    with desk_on(demo_file(), SystemClock()) as desk, desk.store.reading() as reading:
        assert reading.newest_standing() is not None
        assert _demo("logbook", now="2026-03-20T07:00") == 0
    assert "of last week" in capsys.readouterr().out
    assert _names() == ["sample.tankkeeper"]


def test_only_the_newest_few_are_kept_aside() -> None:
    """The folder does not grow for ever."""
    for _ in range(5):
        ready_demo(demo_file(), NOW)
        demo_file().write_bytes(b"spoiled")
    ready_demo(demo_file(), NOW)
    assert len(_names()) == KEPT_ASIDE + 1
    assert f"sample-old-{4}.tankkeeper" in _names()


def test_a_demo_that_is_damaged_is_made_anew(capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing in it was anybody's."""
    demo_file().parent.mkdir(parents=True)
    demo_file().write_bytes(b"not a database at all")
    assert _demo("round") == 0
    assert _names() == ["sample-old-1.tankkeeper", "sample.tankkeeper"]


def test_the_demo_leaves_no_backups(tmp_path: Path) -> None:
    """It can be made again."""
    _demo("log", "note", "x")
    assert not demo_file().with_name("sample-backups").exists()


@pytest.mark.parametrize("is_named_by_its_folder", [False, True])
def test_the_copy_gets_no_backups_under_its_own_name(
    is_named_by_its_folder: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The window says that it is kept without backups, so no command makes one either."""
    _demo("round")
    monkeypatch.chdir(demo_file().parent)
    name = str(demo_file()) if is_named_by_its_folder else demo_file().name

    assert main(["--household", name, "--now", NOW, "log", "note", "x"]) == 0

    assert not demo_file().with_name("sample-backups").exists()


def test_a_household_beside_the_copy_has_backups() -> None:
    """Only the copy can be made again."""
    _demo("round")
    own = demo_file().with_name("own.tankkeeper")
    demo_file().rename(own)

    assert main(["--household", str(own), "--now", NOW, "log", "note", "x"]) == 0

    assert any(own.with_name("own-backups").iterdir())
