"""tankkeeper: what every saltwater tank of a household needs today, how much, and why."""

__version__ = "0.1.0"
