"""What makes a sound: the terminal's bell, and a command of the site's own."""
