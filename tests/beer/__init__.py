"""Tests of this part of the package."""
