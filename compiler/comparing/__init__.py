"""How a protocol's order differs from a published one: information, never a fault."""
