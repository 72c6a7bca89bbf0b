"""One module a version; what it says is never changed once released."""
