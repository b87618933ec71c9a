"""CP-SAT at work on a problem, and what it says where not everything can be kept."""
