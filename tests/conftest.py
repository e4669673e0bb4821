"""What all tests share: random inputs are drawn without a clock, since nothing here is a timed test."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
