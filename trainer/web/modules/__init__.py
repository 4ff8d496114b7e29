"""Modules: list, build and assign, progress."""
