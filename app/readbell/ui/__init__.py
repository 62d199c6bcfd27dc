"""The board on a terminal: states into words and marks, keys and scans into the hand."""
