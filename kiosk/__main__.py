"""``python -m kiosk``: the same as the command ``kiosk``."""

from kiosk.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
