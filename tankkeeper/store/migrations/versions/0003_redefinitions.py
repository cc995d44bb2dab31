"""What was set down before and after each change, so that an undo can put it back."""

from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

STATEMENTS = (
    """CREATE TABLE redefinition (
    entry INTEGER NOT NULL,
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    sheet TEXT NOT NULL,
    was TEXT,
    became TEXT,
    PRIMARY KEY (entry, place),
    FOREIGN KEY(entry) REFERENCES entry (seq)
)
 WITHOUT ROWID,
 STRICT""",
    """CREATE TABLE withdrawn (
    sheet TEXT NOT NULL,
    id TEXT NOT NULL,
    PRIMARY KEY (sheet, id)
)
 WITHOUT ROWID,
 STRICT""",
)


def upgrade() -> None:
    """Make the two tables; no older program has written a change that could stand in them."""
    for statement in STATEMENTS:
        op.execute(statement)
