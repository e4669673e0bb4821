"""Work that takes too much, for workers to be tested with: a worker finds it by its name."""

import os
import time


def endless(told):
    told("begun", 1, 1)
    while True:
        pass


def huge(_):
    return len(bytearray(3_000_000_000))


def grown(_, mb):
    """Fills memory and gives it back to Python, which keeps it."""
    return os.getpid(), len(b"x" * (mb * 1_000_000))


def dies(_):
    os._exit(9)


def waits(_, seconds):
    time.sleep(seconds)
    return os.getpid()


def breaks(_):
    return {}["no such"]
