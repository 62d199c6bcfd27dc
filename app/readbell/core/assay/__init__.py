"""A test method: its timed steps, its read window and its lines."""
