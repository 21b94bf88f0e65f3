"""Typed lengths, angles, weights and grades: text to number and number to text."""
