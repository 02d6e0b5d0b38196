"""``python -m undersong``: the command line where the script is not on the path."""

from undersong.cli import main

main()
