"""The logbook is only added to; undos and corrections decide what holds."""

import ast
from datetime import date, datetime, time, timedelta, timezone
from pathlib import Path

import pytest
from sqlalchemy import Connection

import tankkeeper.store
from tankkeeper.core.errors import UserFault
from tankkeeper.core.logbook import (
    Dose,
    Entry,
    Note,
    Pause,
    PauseMode,
    PutOff,
    Readings,
    ReservoirCheck,
    Resume,
    Revoke,
    Shift,
    Skip,
    StockChange,
    TopOff,
    Turn,
    WaterChange,
    Work,
)
from tankkeeper.core.parameters import ReadingValue
from tankkeeper.services.ports import LogQuery
from tankkeeper.store.file_store import FileStore
from tests.store.households import made, turn_of

MORNING = time(8, 30)
FACTS = [
    None,
    TopOff(2.4, False, True),
    ReservoirCheck(12.5, None, True),
    ReservoirCheck(None, None),
    WaterChange(40, 39.5, 35.1, 25.25, True),
    Readings((ReadingValue("nitrate", 12.0, "mg/L", 12.0), ReadingValue("ph", 8.1, "", 8.1, 25.4))),
    Readings(()),
    Dose("soda", 0.1 + 0.2),
    StockChange("salt mix", 20000, None, date(2028, 1, 1)),
    StockChange("salt mix", None, 0.0),
    Work(12.5, 450.25, True),
    Note(),
    Skip(Turn("glass", "2026-03-20", MORNING), date(2026, 3, 21)),
    PutOff(turn_of("glass"), date(2026, 3, 27)),
    PutOff(turn_of("glass"), date(2026, 3, 27), date(2026, 3, 25)),
    Shift(turn_of("glass"), date(2026, 3, 27)),
    Pause(PauseMode.FREEZE, "glass", date(2026, 4, 1)),
    Pause(PauseMode.HOLD),
    Resume("glass"),
    Resume(),
]


def _add(store: FileStore, *entries: Entry) -> list[Entry]:
    with store.writing() as writing:
        return [writing.add(one) for one in entries]


def _fault(store: FileStore, one: Entry) -> UserFault:
    with pytest.raises(UserFault) as fault:
        _add(store, one)
    return fault.value


def _holder(store: FileStore, turn: Turn) -> str | None:
    with store.reading() as reading:
        found = reading.holder_of(turn.id)
    return None if found is None else found.id


def _undo(number: int, of: Entry) -> Entry:
    return made(number, Revoke(of.id))


def _tick(number: int, chore: str = "glass", key: str = "2026-03-20") -> Entry:
    return made(number, completes=(turn_of(chore, key),))


@pytest.mark.parametrize("fact", FACTS, ids=repr)
def test_every_fact_comes_back_as_it_was(store: FileStore, fact) -> None:
    """An entry is kept without loss, its turns in their order and its note included."""
    turns = (Turn("change", "after:x"), Turn("glass", "2026-03-19", MORNING), Turn("glass"))
    (added,) = _add(store, made(1, fact, completes=turns, note="«ice» 🐟", by="jonas"))

    with store.reading() as reading:
        found = reading.entry(added.id)

    assert found is not None
    assert (found.entry, found.revoked) == (added, False)
    assert added.seq == 1


def test_moments_are_kept_in_utc_to_the_microsecond(store: FileStore) -> None:
    """A moment with another offset is the same moment."""
    at = datetime(2026, 3, 20, 13, 0, 0, 123457, tzinfo=timezone(timedelta(hours=1)))
    (added,) = _add(store, Entry("a", 0, at, at.date(), "Europe/Oslo"))

    with store.reading() as reading:
        found = reading.entry("a")

    assert found is not None
    assert found.entry == added
    assert found.entry.at.utcoffset() == timedelta(0)


def test_an_interrupt_within_a_write_stays_an_interrupt(
    store: FileStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SQLAlchemy closes the connection it breaks into; nothing is kept, and the file is whole."""

    def interrupted(connection: Connection, *_: object) -> None:
        connection.invalidate()
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr("tankkeeper.store.writing.take_turns", interrupted)
        with pytest.raises(KeyboardInterrupt):
            _add(store, _tick(1))
    (added,) = _add(store, _tick(2))
    assert added.seq == 1


def test_ids_are_found_by_how_they_begin(store: FileStore) -> None:
    """Letter by letter: no sign is a wildcard, and capitals are not small letters."""
    at = datetime(2026, 3, 20, 13, 0, 0, tzinfo=timezone(timedelta(hours=1)))
    for one in ("ab1", "ab2", "aB3", "a%4", "c"):
        _add(store, Entry(one, 0, at, at.date(), "Europe/Oslo"))

    with store.reading() as reading:
        assert list(reading.entry_ids("ab")) == ["ab1", "ab2"]
        assert list(reading.entry_ids("a%")) == ["a%4"]
        assert list(reading.entry_ids("b")) == []
        assert list(reading.entry_ids()) == ["a%4", "aB3", "ab1", "ab2", "c"]


def test_a_turn_is_done_once(store: FileStore) -> None:
    """The second entry for a turn is refused and told who holds it; it leaves nothing behind."""
    (first,) = _add(store, _tick(1))

    fault = _fault(store, _tick(2))

    assert (fault.code, fault.values["holder"]) == ("already_done", first)
    assert fault.values["turn"] == "glass@2026-03-20"
    with store.reading() as reading:
        assert [one.entry for one in reading.entries(LogQuery())] == [first]


def test_a_refused_entry_leaves_the_transaction_usable(store: FileStore) -> None:
    """A caller may catch the refusal and go on in the same transaction."""
    _add(store, _tick(1))

    with store.writing() as writing:
        with pytest.raises(UserFault):
            writing.add(_tick(2, key="2026-03-20"))
        writing.add(_tick(2, key="2026-03-21"))

    with store.reading() as reading:
        assert len(reading.entries(LogQuery())) == 2
    assert store.check().problems == ()


def test_a_skip_holds_its_turn_too(store: FileStore) -> None:
    """A turn that was skipped cannot be done as well."""
    (skipped,) = _add(store, made(1, Skip(turn_of("glass"))))

    assert _fault(store, _tick(2)).values["holder"] == skipped


def test_extra_work_holds_no_turn(store: FileStore) -> None:
    """Work that was no turn, like an extra feeding, may be done again and again."""
    extra = (Turn("glass"),)

    _add(store, made(1, completes=extra), made(2, completes=extra))

    assert _holder(store, extra[0]) is None


def test_slots_of_one_day_are_turns_of_their_own(store: FileStore) -> None:
    """Morning and evening are held by different entries."""
    morning, evening = (turn_of("glass", slot=time(hour)) for hour in (8, 18))
    one, two = _add(store, made(1, completes=(morning,)), made(2, completes=(evening,)))

    assert (_holder(store, morning), _holder(store, evening)) == (one.id, two.id)


def test_an_undo_frees_the_turn_and_its_undo_takes_it_again(store: FileStore) -> None:
    """Tick, undo, tick again; the undo of the first undo is refused while the turn is held."""
    tick, undo = _add(store, _tick(1), made(2, Revoke("entry-000001")))
    assert _holder(store, turn_of("glass")) is None
    (again,) = _add(store, _tick(3))

    fault = _fault(store, _undo(4, undo))

    assert (fault.code, fault.values["holder"]) == ("already_done", again)
    _add(store, _undo(5, again), _undo(6, undo))
    assert _holder(store, turn_of("glass")) == tick.id
    assert store.check().problems == ()


def test_a_correction_takes_over_the_turn_and_its_undo_gives_it_back(store: FileStore) -> None:
    """An entry that replaces another frees its turns first, and an undo of it restores them."""
    tick = _tick(1)
    corrected = made(2, TopOff(2.0), completes=tick.completes, replaces=tick.id)
    undo = _undo(3, corrected)

    _add(store, tick, corrected)
    assert _holder(store, turn_of("glass")) == corrected.id
    _add(store, undo)
    assert _holder(store, turn_of("glass")) == tick.id
    _add(store, _undo(4, undo))
    assert _holder(store, turn_of("glass")) == corrected.id
    assert store.check().problems == ()


def test_an_entry_is_taken_back_once(store: FileStore) -> None:
    """A second undo, or a correction of what was taken back, is refused; so is an unknown one."""
    _add(store, _tick(1), made(2, Revoke("entry-000001")))

    assert _fault(store, made(3, Revoke("entry-000001"))).code == "already_taken_back"
    assert _fault(store, made(3, replaces="entry-000001")).code == "already_taken_back"
    assert _fault(store, made(3, Revoke("nobody"))).code == "no_such_entry"
    assert _fault(store, made(3, Revoke("entry-000003"))).code == "no_such_entry"


def test_an_entry_stays_void_while_one_of_two_reasons_holds(store: FileStore) -> None:
    """Two undos of one entry, one of which comes back by an undo of an undo, both count."""
    tick = _tick(1)
    first, lifted = _undo(2, tick), made(3, Revoke("entry-000002"))
    second, back = _undo(4, tick), made(5, Revoke("entry-000003"))
    _add(store, tick, first, lifted, second, back)

    _add(store, made(6, Revoke(second.id)))

    with store.reading() as reading:
        found = reading.entry(tick.id)
    assert found is not None
    assert found.revoked
    assert store.check().problems == ()


def test_a_long_chain_of_undos_is_settled(store: FileStore) -> None:
    """A hundred undos of undos neither overflow nor go wrong."""
    chain = [_tick(1)]
    for number in range(2, 100):
        chain.append(_undo(number, chain[-1]))

    _add(store, *chain)

    held = _holder(store, turn_of("glass"))
    assert held == (chain[0].id if (len(chain) - 1) % 2 == 0 else None)


@pytest.mark.parametrize(
    ("wrong", "code"),
    [
        ({"tank": "nowhere"}, "no_such_tank"),
        ({"completes": (turn_of("nothing"),)}, "no_such_chore"),
        ({"fact": Pause(PauseMode.HOLD, "nothing")}, "no_such_chore"),
        ({"note": "half \udfff"}, "text_not_storable"),
        ({"note": "\0"}, "text_not_storable"),
        ({"note": "n" * 10_001}, "text_too_long"),
        ({"fact": TopOff(float("nan"))}, "out_of_range"),
        ({"fact": TopOff(-0.1)}, "out_of_range"),
        ({"fact": Dose("soda", float("inf"))}, "out_of_range"),
        ({"fact": Readings((ReadingValue("ph", float("nan"), "", 8.0),))}, "out_of_range"),
        ({"completes": (turn_of("glass", "\0"),)}, "text_not_storable"),
    ],
)
def test_what_cannot_be_kept_is_refused(store: FileStore, wrong: dict, code: str) -> None:
    """Nothing is written of an entry that is refused."""
    assert _fault(store, made(1, **wrong)).code == code
    assert store.check().entries == 0


def test_an_id_is_used_once(store: FileStore) -> None:
    """The same id again is refused, whatever else it says."""
    _add(store, _tick(1))

    assert _fault(store, made(1)).code == "id_taken"


def test_the_newest_entries_are_found(store: FileStore) -> None:
    """What undo takes back, and what redo takes back, follow the log."""
    tick, note = _tick(1), made(2, Note())
    _add(store, tick, note)
    (undo,) = _add(store, _undo(3, note))

    with store.reading() as reading:
        standing, newest_undo = reading.newest_standing(), reading.newest_undo()
    assert standing is not None
    assert (standing.id, newest_undo) == (tick.id, undo)

    _add(store, _undo(4, undo))
    with store.reading() as reading:
        standing, newest_undo = reading.newest_standing(), reading.newest_undo()
    assert standing is not None
    # What took the undo back is a redo, which the next redo leaves alone.
    assert (standing.id, newest_undo) == (note.id, None)


@pytest.mark.parametrize(
    ("query", "numbers"),
    [
        (LogQuery(), [6, 5, 4, 3, 2, 1]),
        (LogQuery(limit=2), [6, 5]),
        (LogQuery(before_seq=3), [2, 1]),
        (LogQuery(before_seq=3, limit=1), [2]),
        (LogQuery(tank="skerry"), [6, 5, 3, 2, 1]),
        (LogQuery(chore="glass"), [5, 3, 1]),
        (LogQuery(chore="change"), [3]),
        (LogQuery(from_day=date(2026, 3, 21)), [6]),
        (LogQuery(to_day=date(2026, 3, 20)), [5, 4, 3, 2, 1]),
        (LogQuery(only_valid=True), [6, 5, 4, 3, 2]),
        (LogQuery(only_valid=True, chore="glass", tank="skerry", limit=1), [5]),
    ],
)
def test_a_page_of_the_log_holds_what_was_asked_for(
    store: FileStore, query: LogQuery, numbers: list[int]
) -> None:
    """Entries come newest first, whole, and marked when they are taken back."""
    both = (turn_of("glass", "2"), turn_of("change", "2"))
    values = (ReadingValue("ph", 8.0, "", 8.0), ReadingValue("nitrate", 5.0, "mg/L", 5.0))
    added = _add(
        store,
        _tick(1),
        _undo(2, _tick(1)),
        made(3, Readings(values), completes=both),
        made(4, tank=None),
        made(5, PutOff(turn_of("glass", "9"), date(2026, 4, 1))),
        made(6, day=date(2026, 3, 21)),
    )

    with store.reading() as reading:
        found = reading.entries(query)

    assert [one.entry.seq for one in found] == numbers
    assert [one.entry for one in found] == [added[number - 1] for number in numbers]
    assert {one.entry.seq for one in found if one.revoked} <= {1}


def test_the_log_is_never_changed_or_removed() -> None:
    """No statement in the store updates or deletes entries, completions or readings."""
    package = Path(tankkeeper.store.__file__).parent
    offences = []
    for module in package.rglob("*.py"):
        for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            words = ast.unparse(node)
            for table in ("entry", "completion", "reading"):
                if words.startswith((f"{table}.update", f"{table}.delete")) or words.startswith(
                    (f"update({table})", f"delete({table})")
                ):
                    offences.append(f"{module.name}: {words}")
            text = words.upper()
            if any(
                f"{verb} {table}" in text
                for verb in ("UPDATE", "DELETE FROM")
                for table in ("ENTRY", "COMPLETION", "READING")
            ):
                offences.append(f"{module.name}: {words}")

    assert offences == []
