"""`python -m teewright` is `teewright`."""

from teewright.main import main

main()
