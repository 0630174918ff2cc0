"""What a reviewer asks of one protocol: what is dirty, why a step is there, what is kept."""
