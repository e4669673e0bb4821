"""The schema changes in order."""
