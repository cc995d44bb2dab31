"""Widgets that know Qt and plain values only."""
