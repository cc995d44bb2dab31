"""Several losses of the same animals: one column of all of them in place of three for one."""

import json
from typing import Any

from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

# As the program of that time made it; nothing refers to it, and foreign keys are off.
ANIMAL = """CREATE TABLE animal (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    tank TEXT,
    name TEXT NOT NULL,
    count INTEGER CONSTRAINT count_check CHECK (count BETWEEN 0 AND 1000000),
    added_on TEXT CONSTRAINT added_on_check CHECK (length(added_on) = 10),
    diet TEXT NOT NULL,
    jumper INTEGER CONSTRAINT jumper_check CHECK (jumper IN (0, 1)),
    lost TEXT NOT NULL,
    PRIMARY KEY (place),
    FOREIGN KEY(tank) REFERENCES tank (id)
)
 STRICT"""
STAY = "place, tank, name, count, added_on, diet, jumper"


def upgrade() -> None:
    """Build the table anew, and let what changes were kept with their entries follow."""
    connection = op.get_bind()
    rows = connection.exec_driver_sql(
        f"SELECT {STAY}, has_lost, lost_on, lost_count, lost_why FROM animal"
    ).all()
    op.execute("DROP TABLE animal")
    op.execute(ANIMAL)
    for *stay, has_lost, on, count, why in rows:
        connection.exec_driver_sql(
            f"INSERT INTO animal ({STAY}, lost) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            (*stay, losses(has_lost, on, count, why)),
        )
    changes = connection.exec_driver_sql(
        "SELECT entry, place, was, became FROM redefinition WHERE sheet = 'animal'"
    ).all()
    for entry, place, was, became in changes:
        connection.exec_driver_sql(
            "UPDATE redefinition SET was = ?, became = ? WHERE entry = ? AND place = ?",
            (kept(was), kept(became), entry, place),
        )


def losses(has_lost: object, on: object, count: object, why: object) -> str:
    """Return the one loss, or none, as the column keeps them."""
    found = [{"on": on, "count": count, "why": why or ""}] if has_lost else []
    return json.dumps(found, ensure_ascii=False)


def kept(text: str | None) -> str | None:
    """Return a row that a change left, by its columns of now."""
    if text is None:
        return None
    row: dict[str, Any] = json.loads(text)
    old = [row.pop(name, None) for name in ("has_lost", "lost_on", "lost_count", "lost_why")]
    return json.dumps(row | {"lost": losses(*old)}, ensure_ascii=False)
