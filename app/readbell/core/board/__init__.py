"""Everything the record says of one bay, and which acts it allows."""
