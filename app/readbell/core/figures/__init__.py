"""What many ended cartridges add up to, for whoever asks whether results can be trusted."""
