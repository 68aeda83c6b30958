"""The operation: steps derived from the plan, the state of the hole after each, the walk."""
