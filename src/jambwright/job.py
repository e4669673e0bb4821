"""The whole way on one page: survey in, whole-house pack out."""
