"""Instruments of the site that speak to the bay by themselves."""
