"""One module a step; the number in its name is its place."""
