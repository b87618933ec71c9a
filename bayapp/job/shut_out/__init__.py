"""What a step, once begun, would keep others from, and until when."""
