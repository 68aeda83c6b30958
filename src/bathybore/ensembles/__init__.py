"""The same hole many times over: inputs drawn, the hole made, what ended it."""
