"""What a label says: words and fields, no millimetres."""
