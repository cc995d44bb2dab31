"""Models: what views show, prepared so that painting only looks up."""
