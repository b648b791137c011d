"""`python -m filmsplit` is the same as `filmsplit`."""

from filmsplit.cli.main import main

main()
