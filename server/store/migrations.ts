/** Numbered changes of the schema, oldest first. A released one is never edited: the next change gets the next number. */
export type Migration = { version: number; name: string; sql: string };

const first = `
CREATE TABLE sensor (
  key INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  label TEXT NOT NULL,
  first_seen_ms INTEGER NOT NULL
) STRICT;

-- Hundredths of a degree; received = at_ms + delay_ms; late ones are kept like any other.
CREATE TABLE reading (
  sensor_key INTEGER NOT NULL REFERENCES sensor(key),
  at_ms INTEGER NOT NULL,
  centi_c INTEGER NOT NULL,
  quality INTEGER NOT NULL,
  reasons INTEGER NOT NULL,
  delay_ms INTEGER NOT NULL,
  PRIMARY KEY (sensor_key, at_ms)
) STRICT, WITHOUT ROWID;

CREATE TABLE delivery (
  sender TEXT NOT NULL,
  packet_id INTEGER NOT NULL,
  digest TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  PRIMARY KEY (sender, packet_id)
) STRICT, WITHOUT ROWID;

CREATE TABLE reject (
  key INTEGER PRIMARY KEY,
  received_ms INTEGER NOT NULL,
  topic TEXT NOT NULL,
  reason TEXT NOT NULL,
  detail TEXT NOT NULL,
  payload BLOB NOT NULL
) STRICT;

CREATE TABLE cookout (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  time_zone TEXT NOT NULL,
  altitude_m REAL NOT NULL,
  rule_set TEXT NOT NULL,
  guests INTEGER NOT NULL,
  diets_json TEXT NOT NULL,
  serves_json TEXT NOT NULL,
  is_demo INTEGER NOT NULL,
  created_ms INTEGER NOT NULL,
  ended_ms INTEGER
) STRICT;

CREATE TABLE place (
  id TEXT PRIMARY KEY,
  cookout_id TEXT NOT NULL REFERENCES cookout(id),
  kind TEXT NOT NULL,
  name TEXT NOT NULL,
  short TEXT NOT NULL,
  heat TEXT,
  litres REAL,
  sensors_json TEXT NOT NULL,
  position INTEGER NOT NULL
) STRICT;

CREATE TABLE dish (
  id TEXT PRIMARY KEY,
  cookout_id TEXT NOT NULL REFERENCES cookout(id),
  name TEXT NOT NULL,
  short TEXT NOT NULL,
  food TEXT NOT NULL,
  shape TEXT NOT NULL,
  thickness_mm REAL NOT NULL,
  target_c REAL,
  clock_min REAL,
  rest_min REAL NOT NULL,
  turn_plan_json TEXT NOT NULL,
  reserve INTEGER NOT NULL,
  heat_min REAL,
  position INTEGER NOT NULL
) STRICT;

CREATE TABLE batch (
  id TEXT PRIMARY KEY,
  dish_id TEXT NOT NULL REFERENCES dish(id),
  label TEXT NOT NULL,
  pieces INTEGER NOT NULL,
  serve_id TEXT,
  sensor_id TEXT,
  place_id TEXT REFERENCES place(id),
  planned_on_ms INTEGER,
  position INTEGER NOT NULL
) STRICT;

-- Which probe sat where, and when: a record must not change because a probe was moved afterwards.
CREATE TABLE seat (
  key INTEGER PRIMARY KEY,
  subject_kind TEXT NOT NULL,
  subject_id TEXT NOT NULL,
  sensor_id TEXT NOT NULL,
  from_ms INTEGER NOT NULL,
  to_ms INTEGER
) STRICT;

CREATE TABLE step (
  id TEXT PRIMARY KEY,
  batch_id TEXT NOT NULL REFERENCES batch(id),
  step TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  zone TEXT,
  place_id TEXT,
  recorded_ms INTEGER NOT NULL,
  withdrawn_ms INTEGER
) STRICT;
CREATE INDEX step_of_batch ON step(batch_id, at_ms);

CREATE TABLE spot_check (
  id TEXT PRIMARY KEY,
  batch_id TEXT NOT NULL REFERENCES batch(id),
  temp_c REAL NOT NULL,
  at_ms INTEGER NOT NULL,
  place TEXT NOT NULL,
  recorded_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE alarm (
  id TEXT PRIMARY KEY,
  cookout_id TEXT REFERENCES cookout(id),
  condition_key TEXT NOT NULL,
  subject_name TEXT NOT NULL,
  state TEXT NOT NULL,
  alarm_json TEXT NOT NULL
) STRICT;

-- Append-only: what happened to each alarm, in order.
CREATE TABLE alarm_journal (
  key INTEGER PRIMARY KEY,
  alarm_id TEXT NOT NULL REFERENCES alarm(id),
  at_ms INTEGER NOT NULL,
  event TEXT NOT NULL,
  state TEXT NOT NULL,
  entry_json TEXT NOT NULL
) STRICT;

CREATE TABLE setting (
  name TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;
`;

export const MIGRATIONS: readonly Migration[] = [{ version: 1, name: 'first', sql: first }];
