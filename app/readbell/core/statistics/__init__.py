"""Figures from counts, with how sure each is."""
