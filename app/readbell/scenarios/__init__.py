"""Scenario files: the border they are checked at."""
