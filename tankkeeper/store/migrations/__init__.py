"""The steps from each released schema to the next; alembic reads them as files."""
