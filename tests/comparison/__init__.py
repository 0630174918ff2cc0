"""A protocol against a published list: what differs is told, and nothing else."""
