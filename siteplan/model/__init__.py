"""What a site consists of: frozen records, and edits as functions."""
