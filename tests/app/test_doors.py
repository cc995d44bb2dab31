"""The doors of the window to files: what an import makes, and what is told of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from tankkeeper.app.doors import HouseKeeping, doors_to
from tankkeeper.app.instance import SHOW, HouseLock, hand_over
from tankkeeper.app.left_open import left_open
from tankkeeper.app.paths import demo_file
from tankkeeper.app.wanted import Wanted
from tankkeeper.app.window_state import WindowMemory
from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.gui.icons import Icons
from tankkeeper.gui.openings import Doors, Opened, Recent, Standing
from tankkeeper.gui.widgets.why_panel import Notice
from tankkeeper.gui.window import Looks, Window
from tankkeeper.reports.imported_words import imported_words
from tankkeeper.reports.numbers import plain
from tankkeeper.services.exchange import import_text
from tests.gui.first_house import first_page, hands_at
from tests.gui.round_house import ICONS

TANK = '[[tanks]]\nname = "{name}"\nshape = {{ litres = 30 }}\n'
HEAD = 'format = "tankkeeper"\nversion = 1\n'
NOW = "2026-03-02T07:00"


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """Where the household of the test will lie."""
    return tmp_path / "there" / "quay.tankkeeper"


@pytest.fixture
def doors(place: Path) -> Doors:
    """The doors of a window that was started for that place."""
    return doors_to(Wanted(lambda: place, lambda: None, "quay", place, now=NOW))


def write(tmp_path: Path, *names: str) -> Path:
    file = tmp_path / "mine2.toml"
    file.write_text(HEAD + "".join(TANK.format(name=name) for name in names), encoding="utf-8")
    return file


def test_a_file_of_tanks_makes_a_household_where_there_is_none(
    doors: Doors, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the zone of this computer; its tanks stand in it."""
    monkeypatch.setenv("TZ", "Asia/Tokyo")
    opened = doors.begin(write(tmp_path, "Cove"))
    with opened.desk.store.reading() as reading:
        house = reading.household()
    opened.desk.store.close()

    assert (house.name, house.zone) == ("quay", "Asia/Tokyo")
    assert [tank.name for tank in house.tanks] == ["Cove"]


def test_a_file_that_is_refused_makes_no_household(
    doors: Doors, tmp_path: Path, place: Path
) -> None:
    """Neither whole nor half, so that the next attempt begins anew."""
    file = write(tmp_path, "Cove", "Cove")

    with pytest.raises(UserFault):
        doors.begin(file)

    assert list(place.parent.iterdir()) == []


@pytest.mark.parametrize(
    ("names", "told"),
    [
        (("Pool",), "Added Pool. What was there before is in the backup "),
        (("A", "B", "C", "D", "E"), "Added A, B, C and 2 more. "),
    ],
)
def test_what_was_imported_is_told_by_the_names_of_the_tanks(
    doors: Doors, tmp_path: Path, names: tuple[str, ...], told: str
) -> None:
    """The name of the file alone would not say what has come."""
    opened = doors.begin(write(tmp_path, "Cove"))

    text = doors.read_file(write(tmp_path, *names))
    sentence = imported_words(import_text(opened.desk, text))
    opened.desk.store.close()

    assert told in plain(sentence)


def test_a_household_that_was_opened_is_a_recent_one(
    doors: Doors, tmp_path: Path, place: Path, qapp: object
) -> None:
    """Once it stood in the window; one whose file went is told apart, and can be forgotten."""
    doors.begin(write(tmp_path, "Cove")).desk.store.close()
    memory = WindowMemory(tmp_path / "window.ini")
    wanted = Wanted(lambda: place, lambda: None, "quay", place, now=NOW)
    keeping = HouseKeeping(wanted, memory, HouseLock())
    own = doors_to(wanted, keeping)

    own.here().desk.store.close()
    keeping._on_soon()
    unnamed = own.recent()
    memory.keep_standing(place, Standing("round", name="Cove"), None)
    own.sample().desk.store.close()
    keeping._on_soon()
    there = own.recent()
    place.unlink()
    gone = own.recent()
    own.forget(place)

    assert unnamed == (Recent(place),)
    assert (there, gone) == ((Recent(place, name="Cove"),), (Recent(place, False, "Cove"),))
    assert own.recent() == ()
    keeping.end()


def test_a_start_without_a_name_opens_what_was_open_last(tmp_path: Path, qapp: object) -> None:
    """One that is kept elsewhere goes before the usual one, which goes before the sample."""
    memory = WindowMemory(tmp_path / "window.ini")
    usual, own = tmp_path / "usual.tankkeeper", tmp_path / "own" / "quay.tankkeeper"
    usual_wanted = Wanted(lambda: usual, lambda: None, "household", usual, is_usual=True)

    told: list[str] = []

    def started(open_it: Callable[[Doors], Opened], wanted: Wanted = usual_wanted) -> str:
        keeping = HouseKeeping(wanted, memory, HouseLock())
        opened = open_it(doors_to(wanted, keeping))
        with opened.desk.store.reading() as reading:
            name = reading.household().name
        opened.desk.store.close()
        told.append(opened.told)
        keeping._on_soon()
        keeping.end()
        return name

    with pytest.raises(TankkeeperError, match="no_household"):
        started(lambda doors: doors.here())
    sample = started(lambda doors: doors.sample())
    assert started(lambda doors: doors.here()) == sample

    own_wanted = usual_wanted._replace(where=lambda: own, place=own, is_usual=False)
    file = write(tmp_path, "Cove")
    started(lambda doors: doors.begin(file), own_wanted)
    assert started(lambda doors: doors.here()) == "quay"
    own.unlink()
    with pytest.raises(TankkeeperError, match="no_household") as nowhere:
        started(lambda doors: doors.here())
    # The window tells it on the first page.
    told_aside = nowhere.value.values["left_aside"]
    assert told_aside == "quay.tankkeeper, which was open last, is no longer where it was."

    # Who looked at the sample is not left with it.
    started(lambda doors: doors.begin(file))
    started(lambda doors: doors.sample())
    assert started(lambda doors: doors.here()) == "usual"

    # One of one's own stays open from start to start, unless another is named.
    started(lambda doors: doors.begin(file), own_wanted)
    assert started(lambda doors: doors.here()) == "quay"
    named = usual_wanted._replace(is_usual=False)
    assert started(lambda doors: doors.here(), named) == "usual"
    started(lambda doors: doors.here(), own_wanted)

    # It is said once that it is gone.
    own.unlink()
    assert "".join(told) == ""
    assert started(lambda doors: doors.here()) == "usual"
    assert told.pop() == (
        "quay.tankkeeper, which was open last, is no longer where it was; this is the usual one."
    )
    assert started(lambda doors: doors.here()) == "usual"
    assert told.pop() == ""


def _last_open(tmp_path: Path, last: Path) -> tuple[Wanted, HouseKeeping]:
    """Return a start that names no household, after one in which this one stood open."""
    usual = tmp_path / "usual.tankkeeper"
    wanted = Wanted(lambda: usual, lambda: None, "household", usual, now=NOW, is_usual=True)
    memory = WindowMemory(tmp_path / "window.ini")
    memory.keep_last(last)
    return wanted, HouseKeeping(wanted, memory, HouseLock())


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"not a household at all" * 100, "is not a household of tankkeeper."),
        (b"", "is an empty file. It was left untouched; a backup can be restored."),
    ],
)
def test_the_usual_household_opens_where_the_last_one_cannot(
    tmp_path: Path, qapp: object, content: bytes, why: str
) -> None:
    """Which file it is and why is said, and not a byte of it changes; named, it is refused."""
    last = tmp_path / "quay.tankkeeper"
    last.write_bytes(content)
    wanted, keeping = _last_open(tmp_path, last)
    doors = doors_to(wanted, keeping)
    doors.begin(write(tmp_path, "Cove")).desk.store.close()

    opened = doors.here()
    with opened.desk.store.reading() as reading:
        name = reading.household().name
    opened.desk.store.close()
    keeping.end()

    assert name == "usual"
    assert opened.told == (
        "quay.tankkeeper, which was open last, could not be opened; this is the usual one: "
        f"{last} {why}"
    )
    assert last.read_bytes() == content
    named = wanted._replace(where=lambda: last, place=last, is_usual=False)
    with pytest.raises(TankkeeperError):
        doors_to(named).here()


def test_a_file_at_which_nobody_may_look_stops_no_start(tmp_path: Path, qapp: object) -> None:
    """The system refuses a name of more than 255 signs as it does a folder that is closed."""
    last = tmp_path / f"{'q' * 300}.tankkeeper"
    with pytest.raises(OSError, match="too long"):
        last.is_file()
    wanted, keeping = _last_open(tmp_path, last)
    doors = doors_to(wanted, keeping)
    doors.begin(write(tmp_path, "Cove")).desk.store.close()

    assert left_open(wanted, last) == last
    assert not hand_over(last, {"say": SHOW}, HouseLock(), wait_ms=1)
    opened = doors.here()
    opened.desk.store.close()
    keeping.end()

    assert "could not be opened; this is the usual one: " in opened.told
    assert opened.told.endswith(" cannot be opened (File name too long).")


@pytest.mark.parametrize("is_usual_torn", [False, True])
def test_the_window_tells_of_the_last_household_where_the_usual_one_does_not_open(
    tmp_path: Path,
    qapp: QApplication,
    qtbot,  # type: ignore[no-untyped-def]
    is_usual_torn: bool,
) -> None:
    """On the first page where there is none, else below what is said of the usual one."""
    last = tmp_path / "quay.tankkeeper"
    last.write_bytes(b"torn")
    wanted, keeping = _last_open(tmp_path, last)
    if is_usual_torn:
        wanted.place.write_bytes(b"torn, too")
    window = Window(lambda: doors_to(wanted, keeping), Looks(lambda: Icons(ICONS), "household"))
    qtbot.addWidget(window.shell)
    with qtbot.waitSignal(window.ready, timeout=20_000):
        window.show()

    hands = hands_at(window, wanted.place, qapp)
    hands.settle()
    told = (
        "quay.tankkeeper, which was open last, could not be opened: "
        f"{last} is not a household of tankkeeper."
    )

    try:
        if is_usual_torn:
            page = hands.frame.stack.currentWidget()
            assert page.accessibleName() == "Not opened"
            assert [one.label.text() for one in page.findChildren(Notice)] == [told]
        else:
            refusal = first_page(window).refusal
            assert (refusal.isVisible(), refusal.text()) == (True, told)
        assert last.read_bytes() == b"torn"
    finally:
        hands.close()
        keeping.end()


@pytest.mark.parametrize(
    ("tank", "told"), [(None, "Exported the household to out.toml."), ("cove", "Exported Cove to")]
)
def test_all_or_one_tank_is_taken_out(
    doors: Doors, tmp_path: Path, tank: str | None, told: str
) -> None:
    """The file holds a household, or one tank that can be added to another."""
    opened = doors.begin(write(tmp_path, "Cove", "Pool"))

    sentence = doors.take_out(opened.desk, tmp_path / "out.toml", tank)
    opened.desk.store.close()

    assert told in plain(sentence)
    text = (tmp_path / "out.toml").read_text(encoding="utf-8")
    assert ("Pool" in text) == ("[household]" in text) == (tank is None)


@pytest.mark.parametrize("is_demo", [False, True])
def test_a_sample_that_was_made_anew_says_so_in_the_window(place: Path, is_demo: bool) -> None:
    """What was written in the old one is not gone without a word."""
    demo = demo_file()
    told = []
    for now in ("2026-02-01T07:00", "2026-02-02T07:00", "2026-03-15T07:00"):
        wanted = Wanted(lambda: demo, lambda: None, "sample", place, now=now, is_demo=is_demo)
        doors = doors_to(wanted)
        opened = doors.here() if is_demo else doors.sample()
        told.append(opened.told)
        opened.desk.store.close()

    assert told[:2] == ["", ""]
    assert told[2].startswith("The sample was made anew")
    assert "sample-old-1.tankkeeper" in told[2]


def test_the_copy_of_the_sample_is_kept_without_backups_however_it_is_opened(
    doors: Doors, tmp_path: Path
) -> None:
    """From the menu, or as any other file."""
    sample = doors.sample()
    sample.desk.store.close()
    other = doors.other(demo_file())
    other.desk.store.close()
    own = doors.begin(write(tmp_path, "Cove"))
    own.desk.store.close()

    assert (sample.backs_up, other.backs_up, own.backs_up) == (False, False, True)
