"""Mends: proved before they are offered, complete, and careful with everything else."""
