"""`python -m compiler` and the `wallward` command are the same."""

from __future__ import annotations

from compiler.cli import main

if __name__ == "__main__":
    main()
