"""The append-only record of events: the only truth."""
