"""Document, results and findings turned into drawing primitives and paper sheets."""
