"""Kits in the box: lots, their expiry and their units."""
