"""Plays a script through the phone's generated Python against a real desk."""
