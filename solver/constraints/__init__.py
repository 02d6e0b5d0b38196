"""What a model must hold, one family a file; each adds itself to a model under construction."""
