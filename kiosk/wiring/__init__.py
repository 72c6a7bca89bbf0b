"""The only room that knows every other: it puts the real, the demo or (one day) the lab machine together."""
