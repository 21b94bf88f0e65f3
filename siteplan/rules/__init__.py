"""Limits of the rule packs, and the checks that compare results with them."""
