"""The pages and the records: a Django project around the engine, on SQLite or PostgreSQL."""
