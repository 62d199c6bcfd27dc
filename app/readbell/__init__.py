"""The timer, the bench mate and the record for many rapid lateral-flow tests at once."""
