from hypothesis import settings

collect_ignore_glob = [
    "*/conftest.py"
]  # they are loaded as they are; collected for doctests they would clash

# a busy machine is slow, not wrong: no property is judged by the clock
settings.register_profile("house", deadline=None)
settings.load_profile("house")
