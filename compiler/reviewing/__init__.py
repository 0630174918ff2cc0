"""What a reviewer reads before signing: one report of all that is known of a protocol."""
