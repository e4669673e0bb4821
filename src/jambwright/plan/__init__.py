"""How to make and fit it: the fitting of one opening, and what is decided over the whole house."""
