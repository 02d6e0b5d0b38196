"""What a choice costs and why, in milliseconds of hand work: pure functions, no solver."""
