"""Any sequence of ticks, undos, reopenings, backups and restores equals a plain model."""

from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.errors import UserFault
from tankkeeper.core.history import history_of, taken_back
from tankkeeper.core.logbook import Entry, How, Redefined, Revoke, Thing
from tankkeeper.services.ports import LogQuery
from tankkeeper.store.opening import create, open_household
from tests.store.households import NOON, made, small, turn_of


class StoreMachine(RuleBasedStateMachine):
    """The store beside a list of entries and the core's own rules of what holds."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = TemporaryDirectory()
        self.path = Path(self.folder.name) / "a.tankkeeper"
        self.clock = FixedClock(NOON)
        self.store = create(self.path, small(), self.clock)
        self.log: list[Entry] = []
        self.saved: tuple[Path, list[Entry]] | None = None
        self.number = 0

    def teardown(self) -> None:
        self.store.close()
        self.folder.cleanup()

    def _add(self, entry: Entry) -> str:
        try:
            with self.store.writing() as writing:
                self.log.append(writing.add(entry))
        except UserFault as fault:
            return fault.code
        return "added"

    def _next(self) -> int:
        self.number += 1
        return self.number

    def _held(self, log: list[Entry]) -> list[str]:
        gone = taken_back(log)
        return [turn.id for one in log if one.id not in gone for turn in one.completes]

    @rule(chore=st.sampled_from(["glass", "change"]), key=st.sampled_from("ab"))
    def tick(self, chore: str, key: str) -> None:
        """Tick a turn: refused exactly when the model says that it is held."""
        turn = turn_of(chore, key)
        expected = "already_done" if turn.id in self._held(self.log) else "added"
        assert self._add(made(self._next(), completes=(turn,))) == expected

    @precondition(lambda self: self.log)
    @rule(data=st.data(), replaces=st.booleans())
    def take_back(self, data: st.DataObject, replaces: bool) -> None:
        """Undo any entry, an undo too, or correct it with the same turns."""
        target = data.draw(st.sampled_from(self.log))
        if replaces:
            entry = made(self._next(), completes=target.completes, replaces=target.id)
        else:
            entry = made(self._next(), Revoke(target.id))
        log = [*self.log, replace(entry, seq=10**6)]
        after, gone = self._held(log), taken_back(log)
        places = [one.replaces for one in log if one.replaces is not None and one.id not in gone]
        if target.id in taken_back(self.log):
            expected = "already_taken_back"
        elif len(set(places)) < len(places):
            expected = "corrected_otherwise"
        elif len(set(after)) < len(after):
            expected = "already_done"
        else:
            expected = "added"
        assert self._add(entry) == expected

    @rule(count=st.integers(0, 3), key=st.sampled_from("ab"))
    def bring_in(self, count: int, key: str) -> None:
        """Import rows, with a turn that may be held: all of them or none."""
        turn = turn_of("glass", key)
        brought = [made(self._next(), completes=(turn,) if n == 0 else ()) for n in range(count)]
        row = made(self._next(), Redefined(How.IMPORTED, Thing.TANK))
        is_held = count > 0 and turn.id in self._held(self.log)
        code = "added"
        try:
            with self.store.writing() as writing:
                writing.redefine(row, writing.household(), brought)
        except UserFault as fault:
            code = fault.code
        assert code == ("already_done" if is_held else "added")
        if is_held:
            return
        with self.store.reading() as reading:
            self.log += [one.entry for one in reading.entries(LogQuery(limit=count + 1))][::-1]

    @rule()
    def reopen(self) -> None:
        """Close and open again."""
        self.store.close()
        self.store = open_household(self.path, self.clock)

    @rule()
    def back_up(self) -> None:
        """Write a backup; the model keeps what it holds."""
        target = self.path.with_name(f"copy-{self._next()}.tankkeeper")
        self.store.backup(target)
        self.saved = (target, list(self.log))

    @precondition(lambda self: self.saved is not None)
    @rule()
    def restore(self) -> None:
        """Go back to the newest backup."""
        assert self.saved is not None
        self.store.restore(self.saved[0])
        self.log = list(self.saved[1])

    @invariant()
    def the_file_says_what_the_model_says(self) -> None:
        """Log, what is taken back, who holds what, and the history agree."""
        gone = taken_back(self.log)
        with self.store.reading() as reading:
            found = reading.entries(LogQuery())
            history = reading.history()
        assert [one.entry for one in found] == self.log[::-1]
        assert {one.entry.id for one in found if one.revoked} == gone
        assert {name: list(rows) for name, rows in history.by_chore.items()} == {
            name: list(rows) for name, rows in history_of(self.log).by_chore.items()
        }
        assert self.store.check().problems == ()


StoreMachine.TestCase.settings = settings(max_examples=15, stateful_step_count=25)
TestStoreMachine = StoreMachine.TestCase
