"""What a tank file may leave out: the air and size of things, how many, the tank of animals."""

from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

# Nothing refers to these tables, and the transaction around keeps the foreign keys off, so that
# building them anew drops nothing else. As the program of that time made them.
TABLES = {
    "container": """CREATE TABLE container (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    name TEXT NOT NULL,
    litres REAL
        CONSTRAINT litres_check CHECK (litres BETWEEN 0.0 AND 100000.0),
    count INTEGER CONSTRAINT count_check CHECK (count BETWEEN 0 AND 1000000),
    tare_kg REAL CONSTRAINT tare_kg_check CHECK (tare_kg BETWEEN 0.0 AND 10000.0),
    holds TEXT NOT NULL,
    PRIMARY KEY (place)
)
 STRICT""",
    "climate": """CREATE TABLE climate (
    room TEXT NOT NULL,
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    month INTEGER CONSTRAINT month_check CHECK (month BETWEEN 0 AND 12),
    temperature_c REAL
        CONSTRAINT temperature_c_check CHECK (temperature_c BETWEEN -60.0 AND 100.0),
    humidity REAL
        CONSTRAINT humidity_check CHECK (humidity BETWEEN 0.0 AND 1.0),
    PRIMARY KEY (room, place),
    FOREIGN KEY(room) REFERENCES room (id)
)
 STRICT""",
    "animal": """CREATE TABLE animal (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    tank TEXT,
    name TEXT NOT NULL,
    count INTEGER CONSTRAINT count_check CHECK (count BETWEEN 0 AND 1000000),
    added_on TEXT CONSTRAINT added_on_check CHECK (length(added_on) = 10),
    diet TEXT NOT NULL,
    jumper INTEGER CONSTRAINT jumper_check CHECK (jumper IN (0, 1)),
    has_lost INTEGER NOT NULL CONSTRAINT has_lost_check CHECK (has_lost IN (0, 1)),
    lost_on TEXT CONSTRAINT lost_on_check CHECK (length(lost_on) = 10),
    lost_count INTEGER
        CONSTRAINT lost_count_check CHECK (lost_count BETWEEN 0 AND 1000000),
    lost_why TEXT,
    PRIMARY KEY (place),
    FOREIGN KEY(tank) REFERENCES tank (id)
)
 STRICT""",
}


def upgrade() -> None:
    """Build each table anew with its rows; columns keep their names and order."""
    for name, statement in TABLES.items():
        op.execute(f"ALTER TABLE {name} RENAME TO {name}_before")
        op.execute(statement)
        op.execute(f"INSERT INTO {name} SELECT * FROM {name}_before")
        op.execute(f"DROP TABLE {name}_before")
