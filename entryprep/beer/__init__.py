"""From vitals and traits to fit and ranking."""
