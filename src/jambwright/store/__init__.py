"""Disk: what is kept between runs."""

from jambwright.store.folder import write_file, write_folder

__all__ = ["write_file", "write_folder"]
