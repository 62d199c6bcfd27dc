"""What a gloved hand is in the middle of: scans and keys into acts, without a screen."""
