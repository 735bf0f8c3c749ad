"""The receiving side: declarations checked in, entries numbered and grouped, judges' words sent back."""
