"""Results as files for others: one file for each form, made a piece at a time."""
