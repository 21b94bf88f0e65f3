"""Typed lengths, angles, grades, weights and other measures: text to number and number to text."""
