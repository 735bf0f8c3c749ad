"""``python -m entryprep``."""

from entryprep.cli import main

if __name__ == "__main__":
    main()
