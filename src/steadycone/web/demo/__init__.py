"""Tern Quay, the invented yard that `steadycone serve --demo` shows: the demo station in ten places, and sixty days of records about it."""

from steadycone.web.demo.build import build_demo

__all__ = ["build_demo"]
