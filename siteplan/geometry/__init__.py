"""Plane geometry on plain numbers and arrays. Lengths in mm, angles in radians, y up."""
