"""The one place where concrete parts are built and wired together."""
