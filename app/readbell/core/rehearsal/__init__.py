"""A bay on a simulated clock, with virtual cartridges and a steady pair of hands."""
