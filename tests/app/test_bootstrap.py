"""What the wiring decides: the zone of a new household, names of files, whole or not at all."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from tankkeeper.app import bootstrap
from tankkeeper.app.bootstrap import TheHouses, file_named, local_zone, open_desk
from tankkeeper.app.clock import FixedClock
from tankkeeper.core.errors import Surroundings, UserFault

CLOCK = FixedClock(datetime(2026, 3, 2, 6, tzinfo=UTC))


def test_the_zone_of_this_computer_is_the_one_it_names(monkeypatch: pytest.MonkeyPatch) -> None:
    """`TZ` says it (POSIX 8.3); one that is no zone's name is passed over."""
    monkeypatch.setenv("TZ", "Europe/Oslo")
    assert local_zone() == "Europe/Oslo"
    monkeypatch.setenv("TZ", ":Asia/Tokyo")
    assert local_zone() == "Asia/Tokyo"
    monkeypatch.setenv("TZ", "nonsense")
    monkeypatch.setattr(bootstrap, "_zones_of_system", lambda: iter(("", "also/none")))
    assert local_zone() == "UTC"


@pytest.mark.parametrize("where", ["postgresql://host/db", "postgresql+psycopg://x", "HTTP://x"])
def test_an_address_is_no_file(where: str) -> None:
    """Refused without repeating what may hold a password."""
    with pytest.raises(UserFault) as refused:
        file_named(where)
    assert refused.value.code == "server_not_built"
    assert "host" not in str(refused.value)


def test_a_file_is_named_as_people_do(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """~ is the person's folder; nothing is no file."""
    monkeypatch.setenv("HOME", str(tmp_path))
    assert file_named("~/tanks.tankkeeper") == tmp_path / "tanks.tankkeeper"
    with pytest.raises(UserFault):
        file_named("  ")


def test_a_household_that_is_not_there_is_not_made_by_opening(tmp_path: Path) -> None:
    """Only `new` makes one."""
    with pytest.raises(Surroundings) as missing:
        open_desk(tmp_path / "x.tankkeeper", CLOCK)
    assert missing.value.code == "no_household"
    assert list(tmp_path.glob("x*")) == []


def test_a_sample_that_fails_half_way_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A household appears whole or not at all."""

    def failing(*_: object) -> None:
        raise Surroundings("disk_full", path="x")

    monkeypatch.setattr("tankkeeper.services.exchange.fill", failing)
    houses = TheHouses(tmp_path / "unused", now="2026-03-02T07:00")
    target = tmp_path / "there" / "s.tankkeeper"
    with pytest.raises(Surroundings), houses.new_sample(target, None, None):
        pytest.fail("nothing was made, so nothing can be opened")
    assert list(target.parent.iterdir()) == []


def test_a_finished_file_never_takes_the_place_of_another(tmp_path: Path) -> None:
    """One that appeared meanwhile stays, and the refusal says so."""
    target = tmp_path / "s.tankkeeper"

    def make() -> None:
        with bootstrap._staged(target) as part:
            part.write_bytes(b"mine")
            target.write_bytes(b"theirs")

    with pytest.raises(UserFault) as refused:
        make()
    assert refused.value.code == "file_exists"
    assert target.read_bytes() == b"theirs"
    assert [one.name for one in tmp_path.glob("*.tankkeeper")] == ["s.tankkeeper"]
