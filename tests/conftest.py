"""Settings of all tests."""

from hypothesis import settings

# A test says what is right, never how long it takes: that is measured in `bench`.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
