"""Who acts, and who is tested."""
