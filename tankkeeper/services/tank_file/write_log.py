"""Writes the logbook: each entry in the shortest form that reads back as the same."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, time
from zoneinfo import ZoneInfo

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.days import logical_day, parse_zone
from tankkeeper.core.logbook import (
    AFTER,
    FIRST,
    Dose,
    Entry,
    Fact,
    Note,
    Pause,
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
from tankkeeper.core.parameters import reading_quantity
from tankkeeper.core.units import format_quantity
from tankkeeper.services.tank_file.layout import (
    Pair,
    day,
    inline,
    known_text,
    listed,
    moment,
    number,
    slot,
    text,
    texts,
    word,
)
from tankkeeper.services.tank_file.log_forms import NO_FACT, NOTE_FACT
from tankkeeper.services.tank_file.order import by_time
from tankkeeper.services.tank_file.words import Words
from tankkeeper.services.watching import Step, Watch, unwatched, watched


class LogWriter:
    """Writes entries of a household in its zone."""

    def __init__(self, words: Words, zone: str, day_begins: time) -> None:
        self._words = words
        self._zone = zone
        self._clock: ZoneInfo = parse_zone(zone)
        self._day_begins = day_begins

    def write(self, entries: Sequence[Entry], watch: Watch = unwatched) -> list[str]:
        """Return the lines of [[log]] in order of time."""
        ordered, followed = by_time(entries)
        lines: list[str] = []
        for entry in watched(ordered, Step.WRITING, watch):
            lines.append("")
            lines.append("[[log]]")
            for name, value in self._pairs(entry, followed.get(entry.id)):
                if value is not None:
                    lines.append(f"{name} = {value}")
        return lines

    def _pairs(self, entry: Entry, followed: str | None) -> list[Pair]:
        clock = self._clock if entry.zone == self._zone else parse_zone(entry.zone)
        is_usual_day = entry.day == logical_day(entry.at, clock, self._day_begins)
        return [
            ("id", text(entry.id)),
            ("at", moment(entry.at.astimezone(self._clock))),
            ("zone", None if entry.zone == self._zone else text(entry.zone)),
            ("day", None if is_usual_day else day(entry.day)),
            ("written_after", known_text(followed)),
            ("by", known_text(self._words.person(entry.by))),
            ("tank", known_text(self._words.tank(entry.tank))),
            *self._done(entry),
            *self._fact(entry),
            *_note(entry),
            ("replaces", known_text(entry.replaces)),
        ]

    def _done(self, entry: Entry) -> list[Pair]:
        """Return which chores and turns were done; one, or a list when there are several."""
        turns = entry.completes
        if not turns:
            return []
        names = [self._words.chore(turn.chore, entry.tank) for turn in turns]
        which = [_which(turn) for turn in turns]
        is_told = any(turn.key or turn.slot is not None for turn in turns)
        if len(turns) == 1:
            return [("done", text(names[0])), ("for", which[0] if is_told else None)]
        return [("done", texts(names)), ("for", listed(which) if is_told else None)]

    def _fact(self, entry: Entry) -> list[Pair]:
        fact = entry.fact
        if entry.completes:
            beside = self._natural(entry.completes[0], fact)
            if beside is not None:
                return beside
        if fact is None:
            return [("fact", f'"{NO_FACT}"')]
        if isinstance(fact, Note):
            return [("fact", f'"{NOTE_FACT}"')] if entry.completes else []
        if isinstance(fact, (Skip, PutOff, Shift)):
            return self._moved(entry, fact)
        if isinstance(fact, (Pause, Resume)):
            return self._paused(entry, fact)
        return self._told(fact)

    def _natural(self, turn: Turn, fact: Fact | None) -> list[Pair] | None:
        """Return the keys beside `done` when the fact is the usual one of the chore's kind."""
        kind = self._words.kind_of(turn.chore)
        if kind == ChoreKind.RESERVOIR:
            if isinstance(fact, ReservoirCheck) and fact.left_l is None:
                return [("litres", number(fact.fill_l)), _estimated(fact.estimated)]
            return None
        if kind == ChoreKind.TOP_OFF:
            return _top_off(fact) if isinstance(fact, TopOff) else None
        if fact is None:
            return []
        if fact == WaterChange(None):
            return None
        if kind == ChoreKind.WATER_CHANGE:
            return _water_change(fact) if isinstance(fact, WaterChange) else None
        if isinstance(fact, Work) and fact != Work():
            return _work(fact)
        return None

    def _moved(self, entry: Entry, fact: Skip | PutOff | Shift) -> list[Pair]:
        turn = fact.turn
        name = text(self._words.chore(turn.chore, entry.tank))
        which: Pair = ("for", _which(turn) if turn.key or turn.slot is not None else None)
        if isinstance(fact, Skip):
            return [("skipped", name), which, ("counts_from", day(fact.counts_from))]
        if isinstance(fact, Shift):
            return [("shifted", name), which, ("to", day(fact.to))]
        return [("put_off", name), which, ("from", day(fact.stood_on)), ("to", day(fact.to))]

    def _paused(self, entry: Entry, fact: Pause | Resume) -> list[Pair]:
        chore: Pair = ("chore", None)
        if fact.chore is not None:
            chore = ("chore", text(self._words.chore(fact.chore, entry.tank)))
        if isinstance(fact, Resume):
            return [("resumed", inline([chore]))]
        return [("paused", inline([chore, ("mode", word(fact.mode)), ("until", day(fact.until))]))]

    def _told(self, fact: Fact) -> list[Pair]:
        """Return a fact in a form of its own."""
        if isinstance(fact, StockChange):
            return [("stock", self._stock(fact))]
        form, make = _FORMS[type(fact)]
        return [(form, make(fact))]

    def _stock(self, fact: StockChange) -> str:
        return inline(
            [
                ("of", known_text(self._words.supply(fact.of))),
                ("add", number(fact.add)),
                ("count", number(fact.count)),
                ("expires", day(fact.expires_on)),
            ]
        )


def _note(entry: Entry) -> list[Pair]:
    """Return the remark; a note of its own stands even when it is empty."""
    if isinstance(entry.fact, Skip):
        return [("why", known_text(entry.note))]
    is_alone = isinstance(entry.fact, Note) and not entry.completes
    return [("note", text(entry.note) if is_alone else known_text(entry.note))]


def _which(turn: Turn) -> str:
    """Return which turn of a chore was meant."""
    at_slot: Pair = ("slot", None if turn.slot is None else slot(turn.slot))
    if turn.key == FIRST:
        return inline([("first", "true"), at_slot])
    if turn.key.startswith(AFTER):
        return inline([("after", text(turn.key.removeprefix(AFTER))), at_slot])
    if _is_date(turn.key):
        return inline([("date", turn.key), at_slot])
    return inline([("key", known_text(turn.key)), at_slot])


def _is_date(key_text: str) -> bool:
    try:
        return date.fromisoformat(key_text).isoformat() == key_text
    except ValueError:
        return False


def _estimated(is_estimated: bool) -> Pair:
    return "estimated", "true" if is_estimated else None


def _top_off(fact: TopOff) -> list[Pair]:
    to_mark = None if fact.to_mark else "false"
    return [("litres", number(fact.litres)), ("to_mark", to_mark), _estimated(fact.estimated)]


def _water_change(fact: WaterChange) -> list[Pair]:
    return [
        ("litres", number(fact.litres)),
        ("added", number(fact.added_l)),
        ("salinity", number(fact.salinity)),
        ("temperature_c", number(fact.temperature_c)),
        _estimated(fact.estimated),
    ]


def _work(fact: Work) -> list[Pair]:
    return [
        ("litres", number(fact.litres)),
        ("grams", number(fact.grams)),
        _estimated(fact.estimated),
    ]


def _reservoir(fact: ReservoirCheck) -> str:
    return inline(
        [("left", number(fact.left_l)), ("fill", number(fact.fill_l)), _estimated(fact.estimated)]
    )


def _readings(fact: Readings) -> str:
    """Return readings as they were typed, so that nothing is lost by converting."""
    return inline(
        (value.parameter, text(format_quantity(reading_quantity(value)))) for value in fact.values
    )


_FORMS: dict[type[object], tuple[str, Callable[..., str]]] = {
    TopOff: ("top_off", lambda fact: inline(_top_off(fact))),
    WaterChange: ("water_change", lambda fact: inline(_water_change(fact))),
    ReservoirCheck: ("reservoir", _reservoir),
    Readings: ("reading", _readings),
    Dose: (
        "dose",
        lambda fact: inline([("of", known_text(fact.of)), ("grams", number(fact.grams))]),
    ),
    Work: ("work", lambda fact: inline(_work(fact))),
    Revoke: ("revokes", lambda fact: text(fact.entry)),
}
