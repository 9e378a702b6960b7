"""`python -m teewright` is `teewright`."""

from teewright.cli.main import main

main()
