"""A program that a test starts and whose lines are not to be counted as covered."""

UNCOUNTED = {"COVERAGE_PROCESS_START": "", "COVERAGE_PROCESS_CONFIG": ""}
"""Its environment. Counting loads packages of its own, and writes a file of its own at the end."""
