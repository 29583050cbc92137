"""Keeping a department: founding, demo, backup and restore, audit, export and import, checks, health, logs, long work."""
