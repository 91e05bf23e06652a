"""Property tests draw the same examples every time, and never fail for a slow machine."""

from hypothesis import settings

settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")
