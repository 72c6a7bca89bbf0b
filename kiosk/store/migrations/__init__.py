"""The way from each schema version to the next, and back."""
