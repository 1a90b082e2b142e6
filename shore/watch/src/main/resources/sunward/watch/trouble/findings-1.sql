-- Each dive beside its rehearsal: made from the raw messages, the plan file and the keys; may be deleted and is made again.
CREATE TABLE comparison (
  float_number INTEGER NOT NULL,
  dive INTEGER NOT NULL,
  -- Which set of messages was compared, and with what: a row where either is another is made again.
  assembled TEXT NOT NULL,
  compared_with TEXT NOT NULL,
  -- Water-leaving radiance over the rehearsed one, and the first head over each further one, over the same as rehearsed
  -- (one number a head, "-": not known); NULL: not known.
  blue REAL,
  green REAL,
  heads TEXT NOT NULL,
  -- Lists of {"what", "evidence"}: of the dive itself, and beside the earlier dives of its float.
  findings TEXT NOT NULL,
  earlier TEXT NOT NULL,
  PRIMARY KEY (float_number, dive)
) STRICT, WITHOUT ROWID;
