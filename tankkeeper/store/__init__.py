"""The household on disk, through SQLAlchemy; implements the ports of the services."""
