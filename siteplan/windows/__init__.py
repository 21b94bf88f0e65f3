"""Widgets around the plan."""
