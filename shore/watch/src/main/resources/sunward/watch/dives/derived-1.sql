-- Made from the raw messages alone; this file may be deleted at any time and is made again.
CREATE TABLE progress (
  one INTEGER PRIMARY KEY CHECK (one = 1),
  last_message_id INTEGER NOT NULL,
  made_with TEXT NOT NULL
) STRICT;

-- What the reader said of each message. An accepted message has an empty reason. The header fields of a rejected one are
-- what it claims, and no more than that; NULL where it is too short for a header.
CREATE TABLE verdict (
  message_id INTEGER PRIMARY KEY,
  arrival_ms INTEGER NOT NULL,
  length INTEGER NOT NULL,
  digest BLOB NOT NULL,
  reason TEXT NOT NULL,
  sentence TEXT NOT NULL,
  float_number INTEGER,
  dive INTEGER,
  position INTEGER,
  kind INTEGER,
  block INTEGER,
  part INTEGER,
  simulated INTEGER,
  unsealed INTEGER
) STRICT;
CREATE INDEX verdict_by_dive ON verdict (float_number, dive, position);
CREATE INDEX verdict_rejected ON verdict (arrival_ms) WHERE reason <> '';

CREATE TABLE dive (
  float_number INTEGER NOT NULL,
  dive INTEGER NOT NULL,
  -- Distinct positions of data with exactly one accepted message, and positions with several that differ.
  received INTEGER NOT NULL,
  conflicting INTEGER NOT NULL,
  -- Accepted repair messages; they have positions of their own after the data and count nowhere above or below.
  repairs INTEGER NOT NULL,
  -- Highest position of data seen + 1; what the ledger plans, NULL until a ledger came.
  seen INTEGER NOT NULL,
  planned INTEGER,
  first_arrival_ms INTEGER NOT NULL,
  last_arrival_ms INTEGER NOT NULL,
  simulated INTEGER NOT NULL,
  unsealed INTEGER NOT NULL,
  surfaced_s INTEGER,
  latitude_e5 INTEGER,
  longitude_e5 INTEGER,
  faults TEXT NOT NULL,
  -- SHA-256 over the sorted digests of the accepted messages: the same set gives the same digest in any order.
  assembled BLOB NOT NULL,
  PRIMARY KEY (float_number, dive)
) STRICT, WITHOUT ROWID;
CREATE INDEX dive_by_arrival ON dive (last_arrival_ms);
