"""What a clinic wrote, as values: protocol, kit and clinic, frozen."""
