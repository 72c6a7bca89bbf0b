"""What each screen shows, as frozen values; no widget, no rule."""
