"""${message}."""

import sqlalchemy as sa
from alembic import op
${imports if imports else ""}
# Batch mode keeps named checks only, and forgets what is not said again: give it
# table_kwargs={"sqlite_strict": True}, for `entry` with "sqlite_autoincrement": True as well.
revision = ${repr(up_revision)}
down_# Batch mode keeps named checks only, and forgets what is not said again: give it
# table_kwargs={"sqlite_strict": True}, for `entry` with "sqlite_autoincrement": True as well.
revision = ${repr(down_revision)}
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Change the schema; rows are kept."""
    ${upgrades if upgrades else "pass"}
