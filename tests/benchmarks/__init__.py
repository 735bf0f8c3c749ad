"""Measurements the README names; run them as modules."""
