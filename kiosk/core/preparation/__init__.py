"""One syringe from order to rest: its events, its rules, the two-person rule."""
