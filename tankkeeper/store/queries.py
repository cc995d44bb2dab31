"""Every statement that reads the household, as text; those on the log go by an index.

Text needs no table declared and nothing compiled before the first row comes, and every start reads.
A name after a colon stands for a value that is handed over beside the statement.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from tankkeeper.core.chores import ChoreKind, Condition, IfMissed
from tankkeeper.core.logbook import BESIDE, PART, How
from tankkeeper.core.mixing_parts import STANDS_DAYS
from tankkeeper.core.reading_outlook import OLDEST_DAYS
from tankkeeper.services.ports import LogQuery
from tankkeeper.store.columns import Field
from tankkeeper.store.layout import (
    ENTRY_FIELDS,
    FIELDS_OF_WATER,
    HOUSEHOLD,
    IS_CHANGE,
    IS_MOVE,
    IS_PAUSE,
    IS_UNDO,
    IS_WATER,
    MOVES_LOSS,
    READING_FIELDS,
)
from tankkeeper.store.sheets import Sheet

# The end of the log; "before the end" makes SQLite walk the log backwards by its key.
END_OF_LOG = 2**63 - 1
# Moves of turns from this long before the latest completion may still say what is due.
MOVES_KEPT_DAYS = 400
# The greatest key that is a day; other keys are words.
LAST_DAY = "9999-12-31"
# A late evening turn is done after midnight, so the days just before the latest count too.
COMPLETIONS_KEPT_DAYS = 2


def _of(table: str, fields: Iterable[Field]) -> str:
    return ", ".join(f"{table}.{field.name}" for field in fields)


# Tanks and chores that an undo took away, but that rows of the log still name.
WITHDRAWABLE = ("tank", "chore")


def _is_set_down(table: str) -> str:
    return f"""NOT EXISTS (
        SELECT 1 FROM withdrawn WHERE withdrawn.sheet = '{table}' AND withdrawn.id = {table}.id
    )"""


def rows_of(sheet: Sheet[Any]) -> str:
    """Return the statement for the rows of a sheet in their order, none that was withdrawn."""
    order = ", ".join([*(field.name for field in sheet.outer), "place"])
    which = f"WHERE {_is_set_down(sheet.name)} " if sheet.name in WITHDRAWABLE else ""
    return f"SELECT {_of(sheet.name, sheet.columns)} FROM {sheet.name} {which}ORDER BY {order}"


SELECT_STATE = "SELECT lineage, definitions_version FROM household"
SELECT_LAST_HOST = "SELECT last_host FROM household"
SELECT_HOUSEHOLD = rows_of(HOUSEHOLD)
SELECT_TANKS = f"SELECT id FROM tank WHERE {_is_set_down('tank')}"
SELECT_CHORES = f"SELECT id FROM chore WHERE {_is_set_down('chore')}"
SELECT_WITHDRAWN = "SELECT sheet, id FROM withdrawn"
SELECT_NAMES_GONE = " UNION ALL ".join(
    f"SELECT id, name FROM {name} WHERE NOT {_is_set_down(name)}" for name in WITHDRAWABLE
)

_TURN = "entry.seq, completion.chore, completion.turn_key, completion.slot"
_COLUMNS = f"{_TURN}, {_of('entry', ENTRY_FIELDS)}"
# There are thousands of water entries, so what none of them has is left out.
_COLUMNS_OF_WATER = f"{_TURN}, {_of('entry', FIELDS_OF_WATER)}"
_IS_VALID = "NOT EXISTS (SELECT 1 FROM void WHERE void.entry = entry.seq)"
# Whether an undo took a correction back for the next one (`services/log_search.is_clearing`), which
# stands behind it and was begun no later: ids begin with that.
_CLEARS = """EXISTS (
    SELECT 1 FROM entry AS next
    WHERE next.seq = {undo}.seq + 1 AND next.replaces = {taken}.replaces
    AND substr(next.id, 1, 13) <= substr({undo}.id, 1, 13)
)"""
# The latest of several that take it back is told; what replaces an entry is no undo, nor is what
# takes a correction back for the next one.
_IS_CORRECTED = """EXISTS (
    SELECT 1 FROM entry AS later
    WHERE later.seq = (SELECT max(void.by_entry) FROM void WHERE void.entry = entry.seq)
    AND (later.fact IS NOT 'revoke' OR {clears})
)""".format(clears=_CLEARS.format(undo="later", taken="entry"))
_TURNS = "LEFT JOIN completion ON completion.entry = entry.seq"


def _day_of_newest(also: str = "") -> str:
    """Return, in brackets, the newest day on which a chore was done, not in part or beside."""
    return f"""(
        SELECT done.day FROM completion AS done
        WHERE done.chore = chore.id AND done.turn_key NOT LIKE '{PART}%'
        AND done.turn_key <> '{BESIDE}' {also}
        AND NOT EXISTS (SELECT 1 FROM void WHERE void.entry = done.entry)
        ORDER BY done.day DESC LIMIT 1
    )"""


# For which chores an older completion may matter although another came later: where turns stay
# open one by one, and where each slot goes on from its own latest completion; what lapses with its
# day needs neither.
_COUNTS_EVERY_COMPLETION = f"""
    chore.if_missed = '{IfMissed.EACH}'
    OR coalesce(json_array_length(chore.rhythm, '$.slots'), 0) > 0
    AND NOT (chore.if_missed = '{IfMissed.EXPIRE}' AND chore.early_days = 0)
"""
# The day from which completions, and that from which moves of a chore matter: the day of the
# completions before the latest, so that what the latest settled can still be told. Salt water that
# was mixed stands a while.
_LATEST = f"""
    SELECT chore.id AS id,
        CASE WHEN chore.kind = '{ChoreKind.MIX_SALT_WATER}' THEN {STANDS_DAYS}
            ELSE {COMPLETIONS_KEPT_DAYS} END AS kept,
        CASE WHEN {_COUNTS_EVERY_COMPLETION} THEN NULL ELSE coalesce(
            {_day_of_newest(f"AND done.day < {_day_of_newest()}")}, {_day_of_newest()}
        ) END AS day
    FROM chore
"""
_SEQS_THAT_MATTER = f"""
    SELECT completion.entry AS seq FROM completion, latest
    WHERE completion.chore = latest.id
    AND completion.day >= coalesce(date(latest.day, '-' || latest.kept || ' days'), '')
    UNION
    SELECT entry.seq FROM entry, latest
    WHERE {IS_MOVE} AND entry.chore = latest.id
    AND (
        entry.day >= coalesce(date(latest.day, '-{MOVES_KEPT_DAYS} days'), '')
        OR entry.fact = 'shift'
        OR entry.other_day >= latest.day
        OR entry.turn_key BETWEEN latest.day AND '{LAST_DAY}'
    )
    UNION
    SELECT entry.seq FROM entry WHERE {IS_PAUSE}
    UNION
    SELECT entry.seq FROM entry WHERE {IS_CHANGE} AND entry.turn_key LIKE '% {MOVES_LOSS}'
    UNION
    SELECT entry.seq FROM entry WHERE {IS_CHANGE}
    AND (
        entry.turn_key LIKE 'paused tank%' OR entry.turn_key LIKE 'retired tank%'
        OR entry.turn_key LIKE 'resumed tank%' OR entry.turn_key LIKE 'begun tank%'
    )
"""
SELECT_DUE = f"""
    WITH latest AS MATERIALIZED ({_LATEST})
    SELECT {_COLUMNS} FROM ({_SEQS_THAT_MATTER}) AS wanted
    JOIN entry ON entry.seq = wanted.seq {_TURNS} WHERE {_IS_VALID}
"""
SELECT_ONE_CHORE = f"""
    SELECT {_COLUMNS} FROM (
        SELECT completion.entry AS seq FROM completion WHERE completion.chore = :chore
        UNION
        SELECT entry.seq FROM entry WHERE {IS_MOVE} AND entry.chore = :chore
    ) AS wanted
    JOIN entry ON entry.seq = wanted.seq {_TURNS} WHERE {_IS_VALID}
"""

# The plus sign keeps SQLite from going by the tank, which would fetch every entry there is.
_VALID_WATER = f"entry.{IS_WATER} AND +entry.tank IS NOT NULL AND {_IS_VALID}"
# The readings that hold the newest value of something. Of entries made at the same moment the later
# one counts. SQLite takes `day` and `seq` from the row that has the greatest value ("SELECT",
# section 2.5, bare columns), which is quicker than ranking the rows. With them go those of the same
# day and the last one of a day before: by these a value left its range, or was outside already.
_MOMENT = "entry.at || printf('%019d', entry.seq)"
_NEWEST = f"""
    SELECT entry.tank AS tank, reading.parameter AS of, entry.day AS day, max({_MOMENT})
    FROM entry JOIN reading ON reading.entry = entry.seq
    WHERE {_VALID_WATER} AND entry.fact = 'readings' GROUP BY +entry.tank, reading.parameter
"""
_NEWEST_READINGS = f"""
    WITH newest AS MATERIALIZED (
        SELECT tank, of, day, date(day, '-{OLDEST_DAYS} days') AS since FROM ({_NEWEST})
    ), recent AS MATERIALIZED (
        SELECT entry.seq AS seq, newest.tank AS tank, newest.of AS of, {_MOMENT} AS moment,
            entry.day = newest.day AS is_newest
        FROM entry JOIN reading ON reading.entry = entry.seq
        CROSS JOIN newest ON newest.tank = +entry.tank AND newest.of = reading.parameter
        WHERE {_VALID_WATER} AND entry.fact = 'readings'
        AND entry.day BETWEEN newest.since AND newest.day
    )
    SELECT recent.seq FROM recent WHERE is_newest
    UNION
    SELECT seq FROM (
        SELECT seq, max(moment) FROM recent WHERE NOT is_newest GROUP BY tank, of
    )
"""
# The parameters of which a chore waits for what their trend says.
_FOLLOWED = f"""
    SELECT chore.tank, json_extract(chore.rhythm, '$.of') FROM chore
    WHERE json_extract(chore.rhythm, '$.when') = '{Condition.FORECAST}'
"""
_FOLLOWED_READINGS = f"""
    SELECT recent.seq FROM (
        SELECT entry.seq AS seq, entry.day AS day,
            max(entry.day) OVER (PARTITION BY entry.tank, reading.parameter) AS newest
        FROM entry JOIN reading ON reading.entry = entry.seq
        WHERE EXISTS ({_FOLLOWED}) AND {_VALID_WATER} AND entry.fact = 'readings'
        AND (entry.tank, reading.parameter) IN ({_FOLLOWED})
    ) AS recent
    WHERE recent.day >= date(recent.newest, '-{OLDEST_DAYS} days')
"""
# All that moves the water, and of what measures it what the newest values and the trends rest on.
SELECT_WATER_SEQS = f"""
    SELECT entry.seq AS seq FROM entry WHERE {_VALID_WATER} AND entry.fact <> 'readings'
    UNION ALL
    SELECT * FROM (SELECT * FROM ({_NEWEST_READINGS}) UNION {_FOLLOWED_READINGS})
"""
SELECT_WATER = f"""
    SELECT {_COLUMNS_OF_WATER} FROM ({SELECT_WATER_SEQS}) AS wanted
    JOIN entry ON entry.seq = wanted.seq {_TURNS}
"""
SELECT_NEWEST_AT = f"""
    SELECT entry.at FROM entry WHERE {_IS_VALID} AND entry.at < '~'
    ORDER BY entry.at DESC LIMIT 1
"""
SELECT_LAST_ID = "SELECT entry.id FROM entry WHERE entry.seq = (SELECT max(entry.seq) FROM entry)"
SELECT_READINGS = f"""
    SELECT reading.entry, {_of("reading", READING_FIELDS)} FROM reading
    WHERE reading.entry IN (SELECT value FROM json_each(:seqs))
    ORDER BY reading.entry, reading.place
"""

SELECT_BY_SEQ = f"SELECT {_COLUMNS} FROM entry {_TURNS} WHERE entry.seq = :seq"
SELECT_BY_ID = f"SELECT {_COLUMNS} FROM entry {_TURNS} WHERE entry.id = :id"
# What a search found, in the order in which it is shown.
SELECT_THESE = f"""
    SELECT {_COLUMNS} FROM entry {_TURNS}
    WHERE entry.seq IN (SELECT value FROM json_each(:seqs))
    ORDER BY entry.at DESC, entry.seq DESC, completion.place
"""
SELECT_IDS = """
    SELECT entry.id FROM entry
    WHERE entry.id >= :beginning AND substr(entry.id, 1, length(:beginning)) = :beginning
    ORDER BY entry.id
"""
SELECT_NEWEST_STANDING = f"""
    SELECT entry.seq FROM entry
    WHERE entry.seq < {END_OF_LOG} AND (entry.fact IS NULL OR entry.fact <> 'revoke')
    AND {_IS_VALID}
    ORDER BY entry.seq DESC LIMIT 1
"""
# What takes back an undo is a redo, and a redo is not taken back by the next one. Nor is what took
# a correction back for the next one: both would hold.
SELECT_NEWEST_UNDO = f"""
    SELECT entry.seq FROM entry JOIN entry AS taken_back ON taken_back.id = entry.revokes
    WHERE entry.{IS_UNDO} AND (taken_back.fact IS NULL OR taken_back.fact <> 'revoke')
    AND {_IS_VALID} AND NOT {_CLEARS.format(undo="entry", taken="taken_back")}
    ORDER BY entry.seq DESC LIMIT 1
"""
SELECT_HOLDER = "SELECT claim.entry FROM claim WHERE claim.turn = :turn LIMIT 1"
SELECT_HOLDER_AT = """
    SELECT claim.entry FROM claim
    WHERE claim.chore = :chore AND claim.turn_key = :key AND claim.slot = :slot
"""
SELECT_SEQ = "SELECT entry.seq FROM entry WHERE entry.id = :id"
SELECT_TARGETS = "SELECT entry.revokes, entry.replaces FROM entry WHERE entry.seq = :seq"
# Another correction of what an entry corrects, which holds; `void` keeps what holds alone.
SELECT_IN_ITS_PLACE = """
    SELECT other.seq FROM entry
    JOIN entry AS first ON first.id = entry.replaces
    JOIN void ON void.entry = first.seq AND void.by_entry <> entry.seq
    JOIN entry AS other ON other.seq = void.by_entry AND other.replaces = first.id
    WHERE entry.seq = :seq LIMIT 1
"""
# How many rows an import brought, behind how and what in the column of the turn.
SELECT_BROUGHT = f"""
    SELECT entry.seq, entry.turn_key FROM entry
    WHERE entry.id = :id AND entry.fact = 'redefined' AND entry.turn_key LIKE '{How.IMPORTED} % %'
"""
SELECT_CORRECTED = f"SELECT {_IS_CORRECTED} FROM entry WHERE entry.seq = :seq"
SELECT_VOID = "SELECT EXISTS (SELECT 1 FROM void WHERE void.entry = :seq)"
SELECT_REDEFINITIONS = """
    SELECT redefinition.entry, redefinition.sheet, redefinition.was, redefinition.became
    FROM redefinition WHERE redefinition.entry IN (SELECT value FROM json_each(:seqs))
    ORDER BY redefinition.entry, redefinition.place
"""
# What somebody did or wrote down, as against what was set down and undos of either.
_IS_LIFE = f"coalesce(entry.fact, '') NOT IN ('redefined', 'revoke') AND {_IS_VALID}"
SELECT_TANK_IN_USE = f"SELECT EXISTS (SELECT 1 FROM entry WHERE entry.tank = :id AND {_IS_LIFE})"
SELECT_CHORE_IN_USE = f"""
    SELECT EXISTS (SELECT 1 FROM entry WHERE entry.chore = :id AND {_IS_LIFE})
    OR EXISTS (
        SELECT 1 FROM completion JOIN entry ON entry.seq = completion.entry
        WHERE completion.chore = :id AND {_IS_LIFE}
    )
"""
SELECT_TANK_IN_LOG = "SELECT EXISTS (SELECT 1 FROM entry WHERE entry.tank = :id)"
SELECT_CHORE_IN_LOG = """
    SELECT EXISTS (SELECT 1 FROM entry WHERE entry.chore = :id)
    OR EXISTS (SELECT 1 FROM completion WHERE completion.chore = :id)
"""

_CONDITIONS = {
    "tank": "entry.tank = :tank",
    "chore": """entry.seq IN (
        SELECT completion.entry FROM completion WHERE completion.chore = :chore
        UNION SELECT other.seq FROM entry AS other WHERE other.chore = :chore
    )""",
    "from_day": "entry.day >= :from_day",
    "to_day": "entry.day <= :to_day",
}


def page_of(query: LogQuery) -> tuple[str, dict[str, Any]]:
    """Return the statement for a page of the log, newest first, with the values for it."""
    values: dict[str, Any] = {
        "tank": query.tank,
        "chore": query.chore,
        "from_day": query.from_day and query.from_day.isoformat(),
        "to_day": query.to_day and query.to_day.isoformat(),
    }
    values = {name: value for name, value in values.items() if value is not None}
    conditions = ["entry.seq < :before", *(_CONDITIONS[name] for name in values)]
    if query.only_valid:
        conditions.append(_IS_VALID)
    values["before"] = END_OF_LOG if query.before_seq is None else query.before_seq
    values["limit"] = -1 if query.limit is None else query.limit
    page = f"""
        SELECT entry.seq AS seq, NOT {_IS_VALID} AS revoked, {_IS_CORRECTED} AS corrected FROM entry
        WHERE {" AND ".join(conditions)} ORDER BY entry.seq DESC LIMIT :limit
    """
    statement = f"""
        SELECT {_COLUMNS}, page.revoked, page.corrected FROM ({page}) AS page
        JOIN entry ON entry.seq = page.seq {_TURNS}
        ORDER BY page.seq DESC, completion.place
    """
    return statement, values
