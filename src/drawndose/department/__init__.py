"""The pages: a Django project around the engine. It keeps nothing yet: no database, no session, no file of orders."""
