"""What to order: the frame's size and place, its lights, glass, masses and sill."""
