"""Pictures of a walk as SVG text: drawn with matplotlib's objects, the same bytes every time.

Each picture is made by one function that takes a `Walk` and returns a `Picture`.
matplotlib is slow to import, so callers import these modules where they need them.
"""
