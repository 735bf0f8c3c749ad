"""Brewing maths: pure functions of plain numbers, no record and no file."""
