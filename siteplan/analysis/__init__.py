"""Results worked out from a document, remembered while their inputs stay the same objects."""
