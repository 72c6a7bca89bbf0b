"""Choosing the syringe, the draw-up device and the injection needle, and the steps of drawing up."""
