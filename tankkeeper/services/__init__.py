"""What a person can do, as functions on the core and on the ports they need."""
