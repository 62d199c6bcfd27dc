"""The rules of the bench as pure functions: no I/O, no clock, no randomness."""
