"""`python -m extractor` is `pourword`."""

from extractor.cli import main

if __name__ == "__main__":
    main()
