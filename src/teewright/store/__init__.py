"""The project file: SQLite through SQLAlchemy, with migrations."""
