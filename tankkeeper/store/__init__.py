"""Where a household is kept: one SQLite file, its backups and its migrations."""
