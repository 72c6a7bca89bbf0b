"""In-use times, earliest expiry, what is left and what is wasted."""
