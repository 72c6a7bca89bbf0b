"""Whole journeys at the counter, move by move, and a hand that makes them in a real window."""
