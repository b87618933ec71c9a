"""What has been asked for, what has happened, and what that adds up to."""
