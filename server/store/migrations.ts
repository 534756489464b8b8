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

/*
 * Readings in one packed column (see store/packed.ts), roll-ups of a minute, numbers beside the temperature, checks and
 * corrections of probes, outages. Delays were kept to the millisecond; from here on to the half-second.
 */
const second = `
CREATE TABLE packed_reading (
  sensor_key INTEGER NOT NULL REFERENCES sensor(key),
  at_ms INTEGER NOT NULL,
  packed INTEGER NOT NULL,
  centi_c INTEGER GENERATED ALWAYS AS (((packed + 262144) & 524287) - 262144) VIRTUAL,
  mark INTEGER GENERATED ALWAYS AS ((packed + 262144) >> 19) VIRTUAL,
  PRIMARY KEY (sensor_key, at_ms)
) STRICT, WITHOUT ROWID;
INSERT INTO packed_reading (sensor_key, at_ms, packed)
  SELECT sensor_key, at_ms, centi_c + ((
    min(1048575, max(0, delay_ms) / 500)
    + 1048576 * ((reasons & 65535) + 65536 * CASE quality WHEN 1 THEN 0 WHEN 2 THEN 1 WHEN 3 THEN 2 WHEN 9 THEN 4 ELSE 3 END)
  ) << 19) FROM reading ORDER BY sensor_key, at_ms;
DROP TABLE reading;
ALTER TABLE packed_reading RENAME TO reading;

-- What is charted of a sensor in a minute; none of it (n = 0) is a row too. last_ms counts from the minute's beginning.
CREATE TABLE roll_up (
  sensor_key INTEGER NOT NULL REFERENCES sensor(key),
  minute INTEGER NOT NULL,
  min_c INTEGER NOT NULL,
  max_c INTEGER NOT NULL,
  sum_c INTEGER NOT NULL,
  n INTEGER NOT NULL,
  last_ms INTEGER NOT NULL,
  last_c INTEGER NOT NULL,
  PRIMARY KEY (sensor_key, minute)
) STRICT, WITHOUT ROWID;
INSERT INTO roll_up (sensor_key, minute, min_c, max_c, sum_c, n, last_ms, last_c)
  SELECT g.sensor_key, g.minute, g.min_c, g.max_c, g.sum_c, g.n, g.last_at - g.minute * 60000, r.centi_c
  FROM (
    SELECT sensor_key, at_ms / 60000 AS minute, min(centi_c) AS min_c, max(centi_c) AS max_c,
      sum(centi_c) AS sum_c, count(*) AS n, max(at_ms) AS last_at
    FROM reading WHERE (mark >> 36) < 3 AND ((mark >> 20) & 2) = 0
    GROUP BY sensor_key, minute
  ) g JOIN reading r ON r.sensor_key = g.sensor_key AND r.at_ms = g.last_at;

-- Append-only: a number beside the temperature, as sent.
CREATE TABLE side_reading (
  sensor_key INTEGER NOT NULL REFERENCES sensor(key),
  quantity INTEGER NOT NULL,
  at_ms INTEGER NOT NULL,
  value REAL NOT NULL,
  unit TEXT NOT NULL,
  PRIMARY KEY (sensor_key, quantity, at_ms)
) STRICT, WITHOUT ROWID;

CREATE TABLE probe_check (
  key INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  sensor_id TEXT NOT NULL,
  kind TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  raw_c REAL NOT NULL,
  read_c REAL NOT NULL,
  expected_c REAL NOT NULL,
  window_c REAL NOT NULL,
  altitude_m REAL,
  outcome TEXT NOT NULL
) STRICT;
CREATE INDEX probe_check_of_sensor ON probe_check(sensor_id, at_ms);

CREATE TABLE correction (
  key INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  sensor_id TEXT NOT NULL,
  kind TEXT NOT NULL,
  from_ms INTEGER NOT NULL,
  gain REAL NOT NULL,
  offset_c REAL NOT NULL,
  check_ids_json TEXT NOT NULL
) STRICT;

CREATE TRIGGER probe_check_stays BEFORE UPDATE ON probe_check BEGIN SELECT raise(ABORT, 'a probe check is never changed'); END;
CREATE TRIGGER probe_check_kept BEFORE DELETE ON probe_check BEGIN SELECT raise(ABORT, 'a probe check is never deleted'); END;
CREATE TRIGGER correction_stays BEFORE UPDATE ON correction BEGIN SELECT raise(ABORT, 'a correction is never changed'); END;
CREATE TRIGGER correction_kept BEFORE DELETE ON correction BEGIN SELECT raise(ABORT, 'a correction is never deleted'); END;

CREATE TABLE outage (
  key INTEGER PRIMARY KEY,
  kind TEXT NOT NULL,
  from_ms INTEGER NOT NULL,
  to_ms INTEGER NOT NULL,
  detail TEXT NOT NULL
) STRICT;
`;

/** Marks of deliveries in rows of 32 packet ids (see store/deliveries.ts); those of the version before cannot be read anew. */
const third = `
DROP TABLE delivery;
CREATE TABLE delivery_block (
  sender TEXT NOT NULL,
  block INTEGER NOT NULL,
  marks BLOB NOT NULL,
  newest_ms INTEGER NOT NULL,
  PRIMARY KEY (sender, block)
) STRICT, WITHOUT ROWID;
`;

export const MIGRATIONS: readonly Migration[] = [
  { version: 1, name: 'first', sql: first },
  { version: 2, name: 'small rows and roll-ups', sql: second },
  { version: 3, name: 'marks in blocks', sql: third },
];
