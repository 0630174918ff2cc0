"""What `compare` tells of two versions: kinds of changes, steps matched, inputs and forms."""
