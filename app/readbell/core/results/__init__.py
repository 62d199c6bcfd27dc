"""What is reportable of a cartridge or of a run on paper, and what a receiver has to hear of it."""
