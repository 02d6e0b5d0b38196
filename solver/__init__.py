"""Builds the graph of choices, prunes it exactly, states the model and proves the answer."""
