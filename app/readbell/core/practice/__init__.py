"""What a rehearsal records of an attempt at a scenario, beside what any bay records."""
