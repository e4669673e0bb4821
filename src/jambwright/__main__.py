"""`python -m jambwright` is the command line."""

from jambwright.cli import main

if __name__ == "__main__":
    main()
