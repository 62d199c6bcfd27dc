"""What the eye sees on a strip, and what it means."""
