"""Reading and writing the open recipe formats."""
