"""Entering a competition: rules, declarations, bottles, boxes, dates, shipping."""
