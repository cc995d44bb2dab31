"""The views of the window, each in its own module."""
