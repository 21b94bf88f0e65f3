"""Results and findings turned into words and rows."""
