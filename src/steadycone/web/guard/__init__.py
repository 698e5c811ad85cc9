"""Who is at the door, and what they may bring in."""
