"""One action at the desk: decide, record in one transaction, then act on the world."""
