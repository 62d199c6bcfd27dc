"""Runs that were written down on paper while the program was away, and entered afterwards."""
