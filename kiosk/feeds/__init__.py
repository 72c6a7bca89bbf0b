"""Descriptions and lists coming in and going out."""
