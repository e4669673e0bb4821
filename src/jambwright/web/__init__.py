"""The browser."""
