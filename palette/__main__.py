"""`python -m palette`."""

from palette.commands import main

main()
