"""Scanner, badge reader, clock; and their stand-ins with a handle."""
