"""Small forms: ticking, putting off, pausing, noting."""
