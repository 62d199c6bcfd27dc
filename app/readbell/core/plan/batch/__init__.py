"""A timetable for so many people and so many operators, with the bound it is held against."""
