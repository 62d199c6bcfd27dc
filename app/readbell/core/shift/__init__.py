"""The shift: opening checks, closing, and the day sheet that a supervisor signs."""
