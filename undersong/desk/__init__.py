"""The desk: a page in the player's own browser, served by her own machine to nobody else."""
