"""Data only: the style range table, one YAML file per family."""
