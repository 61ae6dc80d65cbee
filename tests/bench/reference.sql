-- The least a ledger line can cost: one row in, with two indexes, and the position it moves. The bench's bare
-- handler runs the statement at the end; it keeps none of the laws (two lines of one thing in the wrong order
-- leave a wrong position), which is what makes it a fair lower bound for time.
CREATE TABLE reference_movement (
  id uuid PRIMARY KEY,
  thing_id uuid NOT NULL,
  to_id uuid NOT NULL,
  at bigint NOT NULL,
  body jsonb NOT NULL
);
CREATE INDEX reference_movement_thing ON reference_movement (thing_id, at DESC, id DESC);
CREATE INDEX reference_movement_at ON reference_movement (at, id);
CREATE TABLE reference_position (
  thing_id uuid PRIMARY KEY,
  place_id uuid NOT NULL,
  at bigint NOT NULL,
  movement_id uuid NOT NULL
);

-- statement
WITH line AS (
  INSERT INTO reference_movement (id, thing_id, to_id, at, body) VALUES ($1, $2, $3, $4, $5)
  ON CONFLICT (id) DO NOTHING RETURNING id, thing_id, to_id, at
)
INSERT INTO reference_position (thing_id, place_id, at, movement_id)
SELECT thing_id, to_id, at, id FROM line
ON CONFLICT (thing_id) DO UPDATE SET place_id = excluded.place_id, at = excluded.at, movement_id = excluded.movement_id;
