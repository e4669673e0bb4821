"""What the hole is: its shape, the adjusted outline, the largest true frame that goes in, its surroundings."""
