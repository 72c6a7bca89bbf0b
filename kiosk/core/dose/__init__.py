"""Orders, strengths and the arithmetic between them, each step with its working."""
