"""Solving a problem with CP-SAT, and what conflicts if not everything can be kept."""
