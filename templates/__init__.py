"""Data only: rules, label sheets, checklists, starter records and the demo season."""
