"""`python -m steadycone` is the command."""

from steadycone.cli.entry import main

if __name__ == "__main__":
    main()
