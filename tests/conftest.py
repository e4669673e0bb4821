from hypothesis import settings

collect_ignore_glob = [
    "*/conftest.py"
]  # they are loaded as they are; collected for doctests they would clash

# a busy machine is slow, not wrong: no property is judged by the clock. A change is judged by the same examples
# every time; `make soak` goes on to new ones, and what they find becomes a test with a name
settings.register_profile("house", deadline=None, derandomize=True)
settings.register_profile("chance", deadline=None)
settings.load_profile("house")
