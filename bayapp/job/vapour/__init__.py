"""The solvent that the day's work has given to the air, and the cautions that belong to it."""
