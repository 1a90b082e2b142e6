-- Every payload that ever came, exactly as received. Times are ms since 2000-01-01T00:00:00Z without leap seconds.
CREATE TABLE message (
  id INTEGER PRIMARY KEY,
  digest BLOB NOT NULL UNIQUE,
  arrival_ms INTEGER NOT NULL,
  door TEXT NOT NULL,
  sender TEXT NOT NULL,
  bytes BLOB NOT NULL
) STRICT;

-- The same bytes once more: the link repeats, and a gateway sends again when it saw no receipt.
CREATE TABLE repeat_arrival (
  id INTEGER PRIMARY KEY,
  message_id INTEGER NOT NULL REFERENCES message (id),
  arrival_ms INTEGER NOT NULL,
  door TEXT NOT NULL,
  sender TEXT NOT NULL
) STRICT;

CREATE TRIGGER message_keeps BEFORE UPDATE ON message BEGIN SELECT RAISE(ABORT, 'messages are never changed'); END;
CREATE TRIGGER message_stays BEFORE DELETE ON message BEGIN SELECT RAISE(ABORT, 'messages are never deleted'); END;
CREATE TRIGGER repeat_keeps BEFORE UPDATE ON repeat_arrival BEGIN SELECT RAISE(ABORT, 'arrivals are never changed'); END;
CREATE TRIGGER repeat_stays BEFORE DELETE ON repeat_arrival BEGIN SELECT RAISE(ABORT, 'arrivals are never deleted'); END;
