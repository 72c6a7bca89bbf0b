"""The window: PySide6 only. Draws pages and hands back presses, scans and typing."""
