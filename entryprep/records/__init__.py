"""What people write: models of the records, and readers that know file, line and column."""
