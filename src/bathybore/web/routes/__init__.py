"""One small file of routes a subject; each asks a use case or a desk, and answers."""
