"""Stations of a shared bay: who joined, who holds which clock, what was done alone."""
