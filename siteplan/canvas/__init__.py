"""The plan on the screen, and what the mouse does on it."""
