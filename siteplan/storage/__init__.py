"""Site files: reading, writing, keeping."""
