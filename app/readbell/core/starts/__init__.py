"""A batch plan that a bay goes by: when the next of so many people is to be begun, and by whom."""
