"""Households and their files from the window: recent ones, copies, tank files, backups."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path
from threading import Event

import pytest
from PySide6.QtCore import QStandardPaths, Qt
from PySide6.QtWidgets import QFileDialog, QLineEdit

from tankkeeper.app.clock import FixedClock
from tankkeeper.app.doors import doors_to
from tankkeeper.app.wanted import Wanted
from tankkeeper.core.household import Household
from tankkeeper.gui.forms.import_form import ImportForm
from tankkeeper.gui.forms.recent_form import RecentForm
from tankkeeper.gui.forms.restore_form import CHOOSE, NONE_YET, RestoreForm
from tankkeeper.gui.forms.stage_form import NameForm
from tankkeeper.gui.house_files import NONE_OPEN, HouseFiles
from tankkeeper.gui.importing import NO_NAME
from tankkeeper.gui.openings import Recent
from tankkeeper.gui.widgets.why_panel import Notice
from tankkeeper.reports.numbers import NBSP
from tankkeeper.store.opening import open_household
from tests.builders import BERLIN, an_entry
from tests.gui.conftest import LiveIn
from tests.gui.first_house import first_page
from tests.gui.round_house import SEVEN, Hands, make, small_house

COVE = """\
format = "tankkeeper"
version = 1
[[people]]
name = "Ada"
[[tanks]]
name = "Cove"
shape = { litres = 30 }
[[chores]]
tank = "Cove"
kind = "glass"
name = "Scrape the glass"
rhythm = { after_last_done = "7 days" }
"""


def choose(hands: Hands, key: str, file: Path) -> None:
    """Choose a file by key in the dialog that a key opens."""
    hands.press(key)
    confirm(hands, file)


def confirm(hands: Hands, file: Path) -> None:
    """Choose a file by key in the dialog that is open."""
    dialog = next(one for one in hands.frame.findChildren(QFileDialog) if one.isVisible())
    name = dialog.findChild(QLineEdit)
    # Typed letter by letter it would be completed in a window of its own, which outlives the test.
    name.setText(str(file))  # type: ignore[union-attr]
    name.setFocus()  # type: ignore[union-attr]
    hands.press("Return")
    assert not dialog.isVisible()


def test_an_export_proposes_a_name_and_leaving_it_gives_the_keys_back(live_in: LiveIn) -> None:
    """The file is called after the household; after Escape the keys act in the list."""
    hands = live_in()
    hands.press("Ctrl+E")
    dialog = next(one for one in hands.frame.findChildren(QFileDialog) if one.isVisible())
    assert dialog.selectedFiles()[0].endswith("/Quay 3.toml")

    hands.press("Esc")

    assert not dialog.isVisible()
    assert hands.window.shell.isActiveWindow()
    hands.press("Space")
    assert len(hands.log()) == 1


def test_the_table_of_the_logbook_gives_the_keys_back_by_itself(live_in: LiveIn) -> None:
    """Before the desktop has made the window under the dialog the active one again."""
    hands = live_in()
    hands.press("Ctrl+6", "Ctrl+S")
    dialog = next(one for one in hands.frame.findChildren(QFileDialog) if one.isVisible())
    assert dialog.selectedFiles()[0].endswith("/logbook.csv")

    hands.hit("Esc")
    hands.app.processEvents()

    assert not dialog.isVisible()
    assert hands.window.shell.isActiveWindow()


def began_in(hands: Hands, *keys: str) -> Path:
    """Return in which folder the dialog begins that keys open, and leave it."""
    hands.press(*keys)
    dialog = next(one for one in hands.frame.findChildren(QFileDialog) if one.isVisible())
    folder = Path(dialog.directory().absolutePath())
    hands.press("Esc")
    return folder


def test_a_dialog_begins_beside_the_household_then_where_the_last_file_was(
    live_in: LiveIn, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Never where the program was started from; a folder that is gone gives way."""
    started, shelf = tmp_path / "started", tmp_path / "shelf"
    started.mkdir()
    shelf.mkdir()
    monkeypatch.chdir(started)
    hands = live_in()
    here = hands.path.parent

    keys = (("Ctrl+O",), ("Ctrl+E",), ("Ctrl+Shift+S",), ("Ctrl+6", "Ctrl+S"))
    assert [began_in(hands, *some) for some in keys] == [here] * 4

    hands.press("Ctrl+1")
    choose(hands, "Ctrl+E", shelf / "all.toml")
    hands.settle()
    assert [began_in(hands, *some) for some in keys] == [shelf] * 4

    (shelf / "all.toml").unlink(missing_ok=True)
    shelf.rmdir()
    assert began_in(hands, "Ctrl+E") == here


def test_a_household_among_the_files_of_programs_sends_nobody_there(live_in: LiveIn) -> None:
    """Where it was never chosen the household lies there, and so does the sample."""
    data = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.GenericDataLocation)
    hands = live_in(name=str(Path(data) / "tankkeeper" / "household"))
    assert hands.path.parent == Path(data) / "tankkeeper"
    assert began_in(hands, "Ctrl+E") != hands.path.parent
    assert began_in(hands, "Ctrl+E").is_dir()


def with_real_doors(hands: Hands) -> None:
    """Let files be read and written as the program does."""
    path = hands.path
    real = doors_to(Wanted(lambda: path, lambda: None, path.stem, path, now="2026-03-15T07:00"))
    hands.window.doors = replace(
        hands.window.doors, read_file=real.read_file, take_out=real.take_out
    )


def told_in(form: ImportForm | RestoreForm) -> str:
    return "\n".join(form.told()).replace("\u00a0", " ")


def tanks(hands: Hands) -> list[str]:
    return [one.name for one in hands.window.session.household.tanks]  # type: ignore[union-attr]


def tanks_by_name(hands: Hands) -> dict[str, str]:
    assert hands.window.session is not None
    household = hands.window.session.household
    assert household is not None
    return {one.name: one.id for one in household.tanks}


def write(tmp_path: Path, text: str) -> Path:
    file = tmp_path / "cove.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_tank_file_is_shown_before_it_comes_in(live_in: LiveIn, tmp_path: Path) -> None:
    """What is added and what stays; Escape leaves it, and Return brings it in after a backup."""
    hands = live_in()
    with_real_doors(hands)
    file = write(tmp_path, COVE)

    choose(hands, "Ctrl+I", file)
    form = hands.form()
    assert isinstance(form, ImportForm)
    told = told_in(form)
    hands.press("Esc")
    left = tanks(hands)
    choose(hands, "Ctrl+I", file)
    hands.press("Return")

    assert "1 tank: Cove" in told
    assert "1 chore: Scrape the glass (Cove)" in told
    assert "1 person: Ada" in told
    assert "Undo takes the import back" in told
    assert left == ["Reef", "Nook"]
    assert tanks(hands) == ["Reef", "Nook", "Cove"]
    assert not hands.has_form()
    backups = tmp_path / "quay-backups"
    kept = next(backups.glob("quay-before-import-*.tankkeeper"))
    assert hands.told == (
        f"Imported cove.toml: Cove with 1{NBSP}chore. Backup before it: {kept.name}"
    )
    assert hands.frame.rail.chosen_id == tanks_by_name(hands)["Cove"]


def test_several_tanks_that_came_are_all_shown_with_the_first_in_view(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """A file with a long name is told by its beginning; what there is none of is left out."""
    hands = live_in()
    with_real_doors(hands)
    hands.press("Ctrl+Down")
    names = [f"Tank {number}" for number in range(1, 9)]
    file = tmp_path / "all-the-tanks-of-the-laundry-room.toml"
    boxes = "".join(f'[[tanks]]\nname = "{one}"\nshape = {{ litres = 30 }}\n' for one in names)
    file.write_text(f'format = "tankkeeper"\nversion = 1\n{boxes}', encoding="utf-8")
    choose(hands, "Ctrl+I", file)
    hands.press("Return")

    rail = hands.frame.rail
    assert rail.chosen_id is None
    first = [card.id for card in rail.cards].index(tanks_by_name(hands)["Tank 1"])
    area = rail.visualRect(rail.model().index(first, 0))
    assert rail.viewport().rect().contains(area)
    assert hands.told.startswith(
        "Imported all-the-tanks-of-the-l\N{HORIZONTAL ELLIPSIS}: "
        "Tank 1, Tank 2, Tank 3 and 5 more. Backup before it: quay-before-import-"
    )


def test_a_tank_that_came_without_chores_says_how_it_gets_some(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """Nothing is due there, but not because all was done."""
    hands = live_in()
    with_real_doors(hands)
    choose(hands, "Ctrl+I", write(tmp_path, COVE.partition("[[chores]]")[0]))
    hands.press("Return")
    hands.window.session.set_tank("cove")  # type: ignore[union-attr]
    hands.settle()
    assert hands.sheet().empty == "No chores here yet. F3 adds some from the catalogue."


def test_an_import_is_undone_and_done_again_by_key(live_in: LiveIn, tmp_path: Path) -> None:
    """In its turn among what was ticked before and after; the logbook tells both."""
    hands = live_in()
    with_real_doors(hands)
    hands.press("Space")
    choose(hands, "Ctrl+I", write(tmp_path, COVE))
    hands.press("Return")

    hands.press("Ctrl+Z")
    undone, left, told = tanks(hands), len(hands.log()), hands.told
    hands.press("Ctrl+Shift+Z")
    again = tanks(hands)
    hands.press("Ctrl+Z", "Ctrl+Z")

    assert (undone, left) == (["Reef", "Nook"], 3)
    assert told.startswith("Undone: Imported cove.toml.")
    assert again == ["Reef", "Nook", "Cove"]
    assert tanks(hands) == ["Reef", "Nook"]
    assert hands.told.startswith("Undone: Ticked")


def test_every_bad_line_of_a_tank_file_is_told(live_in: LiveIn, tmp_path: Path) -> None:
    """With its number, in the form; nothing can be accepted, and nothing is changed."""
    hands = live_in()
    bad = COVE.replace("litres = 30", "litres = -30").replace("7 days", "7 dogs")

    choose(hands, "Ctrl+I", write(tmp_path, bad))
    form = hands.form()
    assert isinstance(form, ImportForm)
    told = told_in(form)
    is_offered = form.primary.isEnabled()
    hands.press("Return")

    assert "2 things in the file are wrong" in told
    assert "Line 7" in told
    assert "Line 12" in told
    assert not is_offered
    assert tanks(hands) == ["Reef", "Nook"]
    assert not (tmp_path / "quay-backups").exists()


def test_a_tank_whose_name_is_taken_comes_in_by_another_name_by_key(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """The offer has the keys; a name that is taken, too, is refused where it is typed."""
    hands = live_in()
    with_real_doors(hands)
    choose(hands, "Ctrl+I", write(tmp_path, COVE.replace("Cove", "Nook")))
    form = hands.form()
    assert isinstance(form, ImportForm)
    assert "the tank Nook: a tank called Nook is there already" in told_in(form)
    assert hands.focus() is form.other_name
    assert not form.primary.isEnabled()

    hands.press("Return", "Return")
    (asked,) = form.findChildren(NameForm)
    assert asked.accessibleDescription() == NO_NAME
    hands.type("Reef")
    hands.press("Return")
    assert asked.accessibleDescription() == (
        "There is a tank called Reef already. Choose another name."
    )
    assert asked.name.text == "Reef"
    hands.press("Ctrl+A")
    hands.type("Bight")
    hands.press("Return")

    assert hands.form() is form
    assert "1 tank: Bight" in told_in(form)
    assert not form.other_name.isVisible()
    assert form.accessibleDescription() == ""
    hands.press("Return")
    assert tanks(hands) == ["Reef", "Nook", "Bight"]
    hands.press("Ctrl+Z")
    assert tanks(hands) == ["Reef", "Nook"]


def test_no_other_name_is_offered_where_it_would_not_help(live_in: LiveIn, tmp_path: Path) -> None:
    """A file of several tanks has to be mended itself, and so has one with another fault."""
    hands = live_in()
    two = COVE.replace("Cove", "Nook") + '[[tanks]]\nname = "Reef"\nshape = { litres = 30 }\n'
    for text in (two, COVE.replace("7 days", "7 dogs")):
        choose(hands, "Ctrl+I", write(tmp_path, text))
        form = hands.form()
        assert isinstance(form, ImportForm)
        assert "wrong" in told_in(form)
        assert not form.other_name.isVisible()
        assert hands.focus() is form.leave
        hands.press("Esc")


def test_a_file_that_is_mended_meanwhile_comes_in_as_it_was_shown(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """What was shown is what is accepted, whatever became of the file."""
    hands = live_in()
    file = write(tmp_path, COVE)
    choose(hands, "Ctrl+I", file)
    file.write_text(COVE.replace('"Cove"', '"Other"'), encoding="utf-8")

    hands.press("Return")

    assert tanks(hands)[-1] == "Cove"


def test_a_file_that_is_no_text_is_told_in_the_why_panel_until_another_line_is_chosen(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """Not only at the foot, where nobody looks after choosing a file."""
    hands = live_in()
    with_real_doors(hands)
    file = tmp_path / "picture.toml"
    file.write_bytes(b"a\n\xff\xfe")

    choose(hands, "Ctrl+I", file)

    assert not hands.has_form()
    assert hands.why.title == "Nothing was changed"
    assert "line 2" in hands.why.refusal
    hands.window.morning._poll.timeout.emit()  # type: ignore[union-attr]
    hands.settle()
    assert hands.why.refusal
    hands.list.setFocus()
    hands.press("Down")
    assert hands.why.refusal is None


def _undo(hands: Hands) -> None:
    hands.press("Ctrl+Z")


def _skip(hands: Hands) -> None:
    hands.list.setFocus()
    hands.press("S")


def _another_entry(hands: Hands) -> None:
    # The refused file is told over the card of an entry, too.
    hands.press("Down")


def _another_tank(hands: Hands) -> None:
    hands.press("Ctrl+Down")


def _settings(hands: Hands) -> None:
    hands.press("Ctrl+,", "Esc")


def _find(hands: Hands) -> None:
    hands.press("Ctrl+F")
    hands.type("lamp")
    hands.settle()
    hands.press("Esc")


@pytest.mark.parametrize(
    ("view", "go_on"),
    [
        ("Ctrl+1", _undo),
        ("Ctrl+1", _skip),
        ("Ctrl+1", _another_tank),
        ("Ctrl+1", _settings),
        ("Ctrl+1", _find),
        ("Ctrl+1", lambda hands: hands.press("Ctrl+2")),
        ("Ctrl+1", lambda hands: hands.press("Ctrl+6")),
        ("Ctrl+6", _another_entry),
    ],
)
def test_what_was_refused_goes_once_a_person_goes_on(
    live_in: LiveIn, tmp_path: Path, view: str, go_on: Callable[[Hands], None]
) -> None:
    """A deed, another line, another tank, another page: the sentence belongs to none of them."""
    hands = live_in()
    with_real_doors(hands)
    hands.press("Space", "Space", view)
    file = tmp_path / "picture.toml"
    file.write_bytes(b"a\n\xff\xfe")
    choose(hands, "Ctrl+I", file)
    assert hands.why.title == "Nothing was changed"

    go_on(hands)

    assert hands.why is None or hands.why.title != "Nothing was changed"


def test_such_a_file_is_told_on_the_page_of_a_household_without_tanks(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """The sentence stands below the button that was used; a second one takes its place."""
    hands = live_in(Household("Quay 3", "Europe/Berlin"))
    with_real_doors(hands)
    file = tmp_path / "picture.toml"
    file.write_bytes(b"a\n\xff\xfe")
    choose(hands, "Ctrl+I", file)
    assert "line 2" in first_page(hands.window).refusal.text()
    hands.press("Esc")

    for _ in range(2):
        choose(hands, "Ctrl+I", file)

        notices = [one for one in hands.frame.stack.findChildren(Notice) if one.isVisible()]
        assert len(notices) == 1
        assert "line 2" in notices[0].label.text()


def test_a_whole_household_comes_into_an_empty_one_with_what_changes(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """Name and hours are told as they are and as they would be."""
    hands = live_in(Household("Mine", "Europe/Berlin"))
    house = '[household]\nname = "Quay 3"\nday_begins = 05:00:00\n[[people]]'

    choose(hands, "Ctrl+I", write(tmp_path, COVE.replace("[[people]]", house)))
    form = hands.form()
    assert isinstance(form, ImportForm)
    told = told_in(form)
    hands.press("Return")

    assert "name: Mine \u2192 Quay 3" in told
    assert "the day begins at: 04:00 \u2192 05:00" in told
    assert "empty" in told
    assert tanks(hands) == ["Cove"]


def test_a_copy_is_saved_and_the_window_stays(live_in: LiveIn, tmp_path: Path) -> None:
    """What is ticked afterwards is in the household that is open, and not in the copy."""
    hands = live_in()
    target = tmp_path / "elsewhere" / "copy.tankkeeper"
    target.parent.mkdir()
    hands.press("Space")

    choose(hands, "Ctrl+Shift+S", target)
    told = hands.told
    hands.go_to("lamp")
    hands.press("Space")

    assert told == "Saved a verified copy as copy.tankkeeper. This window stays on quay.tankkeeper."
    copy = open_household(target, hands.clock)
    entries = copy.check().entries
    copy.close()
    assert (entries, len(hands.log())) == (1, 2)
    assert [one.name for one in target.parent.iterdir()] == ["copy.tankkeeper"]


def test_a_copy_that_cannot_be_written_is_told_in_one_sentence(
    live_in: LiveIn, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And nothing half written is left."""
    hands = live_in()
    target = tmp_path / "elsewhere" / "copy.tankkeeper"
    target.parent.mkdir()

    def full(_self: object, _target: Path, _watch: object) -> None:
        raise OSError(75, "Value too large")

    monkeypatch.setattr("tankkeeper.store.file_store.FileStore.save_copy", full)
    choose(hands, "Ctrl+Shift+S", target)

    assert "copy.tankkeeper cannot be written (Value too large)" in hands.why.refusal
    assert list(target.parent.iterdir()) == []


def test_the_household_or_one_tank_is_exported(live_in: LiveIn, tmp_path: Path) -> None:
    """Ctrl+E all of it; Ctrl+Shift+E the tank that is chosen, and says so where none is."""
    hands = live_in()
    with_real_doors(hands)

    hands.press("Ctrl+Shift+E")
    none_chosen = hands.told
    choose(hands, "Ctrl+E", tmp_path / "all")
    hands.press("Ctrl+Down")
    choose(hands, "Ctrl+Shift+E", tmp_path / "reef.toml")

    assert "Choose a tank first" in none_chosen
    whole = (tmp_path / "all.toml").read_text(encoding="utf-8")
    reef = (tmp_path / "reef.toml").read_text(encoding="utf-8")
    assert "[household]" in whole
    assert 'name = "Nook"' in whole
    assert "[household]" not in reef
    assert 'name = "Nook"' not in reef
    assert hands.told == "Exported Reef to reef.toml."


def test_a_recent_household_is_opened_by_key(live_in: LiveIn, tmp_path: Path) -> None:
    """One that is gone is told and can be forgotten; its file would be left alone."""
    hands = live_in()
    other, gone = tmp_path / "other.tankkeeper", tmp_path / "gone.tankkeeper"
    make(other, small_house(name="Other house"), FixedClock(SEVEN))
    forgotten: list[Path] = []
    recent = (Recent(gone, is_there=False), Recent(other), Recent(hands.path))
    hands.window.doors = replace(hands.window.doors, recent=lambda: recent, forget=forgotten.append)

    hands.press("Ctrl+Shift+O")
    form = hands.form()
    assert isinstance(form, RecentForm)
    names = [form.list.item(at).text() for at in range(form.list.count())]
    hands.press("Return")
    refused = form.accessibleDescription()
    hands.press("Delete")
    left = form.list.count()
    hands.press("Return")

    assert names == ["gone", "other"]
    assert refused == ("gone.tankkeeper is not there any more. Delete takes it from this list.")
    assert (left, forgotten) == (1, [gone])
    assert not hands.has_form()
    assert hands.window.session.household.name == "Other house"  # type: ignore[union-attr]
    assert other.exists()


def test_a_recent_household_is_listed_by_its_own_name(live_in: LiveIn, tmp_path: Path) -> None:
    """Files of several households are often called alike; the path tells them apart."""
    hands = live_in()
    place = tmp_path / "home" / "household.tankkeeper"
    recent = (Recent(place, name="Mill Lane 7"), Recent(tmp_path / "cove.tankkeeper"))
    hands.window.doors = replace(hands.window.doors, recent=lambda: recent)

    hands.press("Ctrl+Shift+O")

    form = hands.form()
    assert isinstance(form, RecentForm)
    heard = Qt.ItemDataRole.AccessibleTextRole
    said = [form.list.item(at).data(heard) for at in range(form.list.count())]
    assert said == [f"Mill Lane 7, {place}", f"cove, {tmp_path}"]


def test_the_key_of_the_sample_is_told_where_no_household_was_opened(live_in: LiveIn) -> None:
    """The sample is opened by a key of its own, and never listed."""
    hands = live_in()

    hands.press("Ctrl+Shift+O")

    told = hands.form().caption.text()
    assert told == "No other household was opened here yet. Ctrl+N opens the sample."


def test_a_list_of_households_that_grows_stays_on_the_screen(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """With its title, wherever it stood before a sentence came to it."""
    hands = live_in()
    gone = Recent(tmp_path / "gone.tankkeeper", is_there=False)
    hands.window.doors = replace(hands.window.doors, recent=lambda: (gone,) * 9)
    hands.press("Ctrl+Shift+O")
    form = hands.form()
    room = form.screen().availableGeometry()
    for top in (-60, room.bottom() - 100):
        form.move(form.x(), top)
        form.refuse("")
        hands.settle()

        hands.press("Return")

        assert form.accessibleDescription()
        assert form.frameGeometry().top() >= room.top()
        assert form.frameGeometry().bottom() <= room.bottom()


def test_without_recent_households_the_list_says_so(live_in: LiveIn) -> None:
    """And Escape leaves it."""
    hands = live_in()

    hands.press("Ctrl+Shift+O")
    form = hands.form()
    hands.press("Esc")

    assert not form.primary.isEnabled()
    assert not hands.has_form()


def test_a_backup_of_the_night_is_called_by_its_night(live_in: LiveIn) -> None:
    """At half past one it is still the day before; in a sentence the night is written small."""
    at = datetime.combine(date(2026, 3, 13), time(1, 35), BERLIN)
    hands = live_in(now=at)
    store = hands.window.session.desk.store  # type: ignore[union-attr]
    hands.press("Space")
    assert store.rolling_backup(at) is not None
    hands.press("Space")

    hands.press("Ctrl+Shift+B", "Return")

    assert hands.told.startswith("Restored the backup of tonight, 01:35. ")


def test_a_backup_is_restored_after_it_was_shown(live_in: LiveIn, tmp_path: Path) -> None:
    """What would be lost is told; the present is kept first, and undo brings it back as it was."""
    hands = live_in()
    store = hands.window.session.desk.store  # type: ignore[union-attr]
    hands.press("Space")
    assert store.rolling_backup(SEVEN) is not None
    hands.go_to("lamp")
    hands.press("Space")
    before = len(hands.log())

    hands.press("Ctrl+Shift+B")
    form = hands.form()
    assert isinstance(form, RestoreForm)
    told = told_in(form)
    rows = form.list.count()
    hands.press("Return")

    assert (before, rows, len(hands.log())) == (2, 1, 1)
    assert "2 tanks, 9 chores, 1 entry of the logbook; the last is of today" in told
    assert "1 entry of the logbook written since" in told
    assert not hands.has_form()
    assert next((tmp_path / "quay-backups").glob("quay-before-restore-*.tankkeeper"))
    assert hands.told.startswith("Restored the backup of today, 07:04. What was there before is")
    assert len(hands.told) < 110
    hands.press("Ctrl+Z")
    assert (len(hands.log()), hands.told[:16]) == (2, "Undone: Restored")
    hands.press("Ctrl+Shift+Z")
    assert len(hands.log()) == 1
    hands.press("Ctrl+Z", "Ctrl+Z")
    assert hands.told.startswith("Undone: Ticked")
    assert len(hands.log()) == 3


def test_the_last_entry_of_a_backup_is_told_as_the_logbook_tells_it(live_in: LiveIn) -> None:
    """What was undone and done again is named, not only that something was taken back."""
    hands = live_in()
    hands.press("Space", "Ctrl+Z", "Ctrl+Shift+Z")
    assert hands.window.session.desk.store.rolling_backup(SEVEN) is not None  # type: ignore[union-attr]

    hands.press("Ctrl+6")
    last = hands.window.morning.logbook.page.list.log_model.rows[0].text  # type: ignore[union-attr]
    hands.press("Ctrl+Shift+B")

    form = hands.form()
    assert isinstance(form, RestoreForm)
    assert last == "Did again: Clean the glass"
    assert f"the last is of today: {last}." in told_in(form)


def test_a_backup_that_is_damaged_is_told_and_not_restored(live_in: LiveIn, tmp_path: Path) -> None:
    """The others stay within reach, one key away; a file from elsewhere can be taken."""
    hands = live_in()
    store = hands.window.session.desk.store  # type: ignore[union-attr]
    copy = tmp_path / "stick.tankkeeper"
    store.backup(copy)
    hands.press("Space")
    bad = store.rolling_backup(SEVEN)
    assert bad is not None
    with bad.open("r+b") as file:
        file.seek(bad.stat().st_size - 9)
        file.write(b"spoiled")

    hands.press("Ctrl+Shift+B")
    form = hands.form()
    assert isinstance(form, RestoreForm)
    told = told_in(form)
    hands.press("Return")
    after_return = len(hands.log())
    form.other.setFocus()
    hands.press("Space")
    confirm(hands, copy)
    other = told_in(form)
    hands.press("Return")

    assert "is not what was written" in told
    assert after_return == 1
    assert "1 entry of the logbook written since" in other
    assert len(hands.log()) == 0


def test_without_backups_another_file_can_be_chosen(live_in: LiveIn, tmp_path: Path) -> None:
    """Nothing can be restored yet, and once there is one that is said no longer; Escape leaves."""
    hands = live_in()
    copy = tmp_path / "stick.tankkeeper"
    hands.window.session.desk.store.backup(copy)  # type: ignore[union-attr]

    hands.press("Ctrl+Shift+B")
    form = hands.form()
    assert isinstance(form, RestoreForm)
    is_offered = form.primary.isEnabled()
    assert form.caption is not None
    assert form.caption.text() == NONE_YET
    form.other.setFocus()
    hands.press("Space")
    confirm(hands, copy)
    assert form.caption.text() == CHOOSE
    hands.press("Esc")

    assert not is_offered
    assert not hands.has_form()


def test_a_file_that_is_still_being_read_can_be_left(live_in: LiveIn, tmp_path: Path) -> None:
    """Escape closes the form at once; what the reading gives is told to nobody."""
    hands = live_in()
    is_read, may_go_on = Event(), Event()

    def slow(path: Path) -> str:
        is_read.set()
        assert may_go_on.wait(20)
        return path.read_text(encoding="utf-8")

    hands.window.doors = replace(hands.window.doors, read_file=slow)
    HouseFiles(hands.window, hands.frame).bring_in(write(tmp_path, COVE))
    hands.app.processEvents()
    assert is_read.wait(20)
    form = hands.form()
    told = form.told()  # type: ignore[attr-defined]
    is_offered = form.primary.isEnabled()
    form.activateWindow()
    hands.hit("Esc")
    has_form = hands.has_form()
    may_go_on.set()
    hands.settle()

    assert told == ["The file is being read."]
    assert not is_offered
    assert not has_form
    assert tanks(hands) == ["Reef", "Nook"]


def test_what_stands_below_belongs_to_the_backup_that_is_chosen(live_in: LiveIn) -> None:
    """Running down the list asks for the last of them; none is restored before it was shown."""
    hands = live_in()
    store = hands.window.session.desk.store  # type: ignore[union-attr]
    for number, chore in enumerate(("glass", "lamp", "floss")):
        hands.go_to(chore)
        hands.press("Space")
        store.rolling_backup(SEVEN + timedelta(minutes=number))

    hands.press("Ctrl+Shift+B")
    form = hands.form()
    assert isinstance(form, RestoreForm)
    newest, is_newest_offered = told_in(form), form.primary.isEnabled()
    hands.hit("Down")
    hands.hit("Down")
    is_offered = form.primary.isEnabled()
    hands.hit("Return")
    hands.settle()
    oldest = told_in(form)

    assert "It holds the same as the household does now." in newest
    assert not is_newest_offered
    assert not is_offered
    assert len(hands.log()) == 3
    assert "2 entries of the logbook written since" in oldest
    assert form.primary.isEnabled()


def test_where_no_household_could_be_opened_the_keys_of_files_say_so(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """With what can be done instead, one sentence for each of them."""
    (tmp_path / "quay.tankkeeper").write_bytes(b"")
    hands = live_in(is_there=True)

    for key in ("Ctrl+Shift+S", "Ctrl+Shift+B", "Ctrl+E", "Ctrl+Shift+E"):
        hands.press(key)
        notices = [one for one in hands.frame.stack.findChildren(Notice) if one.isVisible()]
        assert [one.label.text() for one in notices] == [NONE_OPEN], key
    assert not hands.has_form()


def test_a_bad_line_is_mended_the_tank_comes_in_and_a_restore_takes_it_away_again(
    live_in: LiveIn, tmp_path: Path
) -> None:
    """The whole way by key: refused, mended, imported, ticked, and back to what was before."""
    hands = live_in()
    file = write(tmp_path, COVE.replace("litres = 30", "litres = 3O"))
    hands.go_to("glass")
    hands.press("Space")

    choose(hands, "Ctrl+I", file)
    refused = told_in(hands.form())  # type: ignore[arg-type]
    hands.press("Esc")
    file.write_text(COVE, encoding="utf-8")
    choose(hands, "Ctrl+I", file)
    hands.press("Return")
    hands.go_to("lamp")
    hands.press("Space")
    hands.press("Ctrl+Shift+B")
    form = hands.form()
    assert isinstance(form, RestoreForm)
    told, row = told_in(form), form.list.item(0).data(Qt.ItemDataRole.AccessibleTextRole)
    hands.press("Return")

    assert "1 thing in the file is wrong" in refused
    assert "Line 7" in refused
    assert "made before an import" in row
    # The tick, and the row that says what was imported.
    assert "2 entries of the logbook written since" in told
    assert "1 tank: Cove" in told
    assert tanks(hands) == ["Reef", "Nook"]
    assert [row.entry.completes[0].chore for row in hands.log()] == ["glass"]


def test_the_list_of_households_stands_over_the_middle_of_the_window(live_in: LiveIn) -> None:
    """Where its place was only proposed, a desktop put it into the corner of the screen."""
    hands = live_in(size=(900, 560))
    hands.window.doors = replace(hands.window.doors, recent=lambda: ())
    hands.window.shell.move(40, 60)
    hands.settle()

    hands.press("Ctrl+Shift+O")

    form = hands.form()
    assert form.testAttribute(Qt.WidgetAttribute.WA_Moved)
    away = form.geometry().center() - hands.window.shell.frameGeometry().center()
    room = form.screen().availableGeometry()
    assert abs(away.x()) <= 3 or form.geometry().right() == room.right()
    assert abs(away.y()) <= 3 or form.geometry().bottom() == room.bottom()
    # The person may take it elsewhere, where it stays.
    form.move(5, 5)
    form.refuse("Something is told.")
    hands.settle()
    assert form.pos().x() == 5


def test_days_off_are_those_of_the_logbook_that_stands_after_a_restore(live_in: LiveIn) -> None:
    """A backup of Sunday was left on Sunday; undo brings the entries since then back."""
    sunday = an_entry(1, "2026-03-08", done="glass")
    wednesday = an_entry(2, "2026-03-11", done="floss")
    hands = live_in(entries=(sunday,), now=SEVEN - timedelta(days=3))
    hands.window.session.desk.store.rolling_backup(SEVEN - timedelta(days=3))  # type: ignore[union-attr]
    hands.close()
    hands = live_in(is_there=True)
    store = hands.window.session.desk.store  # type: ignore[union-attr]
    with store.writing() as writing:
        writing.add(wednesday)
    hands.window.session.refresh()  # type: ignore[union-attr]
    hands.settle()
    notices = hands.window.morning.notices  # type: ignore[union-attr]
    notices.begin_anew()
    notices.take(hands.window.session.last)  # type: ignore[union-attr,arg-type]
    assert notices.sentence == ""

    hands.press("Ctrl+Shift+B", "End", "Return")
    assert notices.sentence.startswith("Away since Sunday")
    hands.press("Ctrl+Z")
    assert notices.sentence == ""
    hands.press("Ctrl+Shift+Z")
    assert notices.sentence.startswith("Away since Sunday")
