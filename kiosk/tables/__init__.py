"""Reads resources into rows and words; refuses a row without a source."""
