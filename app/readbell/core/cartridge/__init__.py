"""One test device with its own clock."""
