"""What a model must hold, one family a file; each adds itself to a model under construction.

What a family is: ``solver.family``. Import each from its own file.
"""
