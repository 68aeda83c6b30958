"""One small function a question: it reads a state and returns check records, nothing else."""
