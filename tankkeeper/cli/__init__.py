"""The command line, a thin front on the services."""
