"""Passwords of made-up people, long enough to be taken."""

PASSWORD = "palea awn glume"
NEW_PASSWORD = "rachilla and node"
