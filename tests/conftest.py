collect_ignore_glob = [
    "*/conftest.py"
]  # they are loaded as they are; collected for doctests they would clash
