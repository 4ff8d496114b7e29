"""How many SQL statements something takes."""

from contextlib import contextmanager

from sqlalchemy import event


@contextmanager
def counted(work):
    """Gives a list that grows by each statement the database is sent."""
    sent = []

    def note(_connection, _cursor, statement, *_rest):
        if not statement.startswith(("BEGIN", "PRAGMA")):
            sent.append(statement)

    event.listen(work._engine, "before_cursor_execute", note)
    try:
        yield sent
    finally:
        event.remove(work._engine, "before_cursor_execute", note)
