-- Two entries for one thing become one: what was done is kept, so that it can be taken back.
BEGIN;

CREATE TABLE thing_merge (
  id UUID NOT NULL,
  thing_id UUID NOT NULL,
  into_id UUID NOT NULL,
  at BIGINT NOT NULL,
  undone_at BIGINT,
  place_kind TEXT,
  said UUID[],
  codes UUID[],
  pictures UUID[],
  "values" UUID[],
  write_offs UUID[],
  package_lines UUID[],
  built UUID[],
  CONSTRAINT thing_merge_pkey PRIMARY KEY (id),
  CONSTRAINT thing_merge_thing_id_fkey FOREIGN KEY (thing_id) REFERENCES thing (id) ON DELETE RESTRICT ON UPDATE RESTRICT,
  CONSTRAINT thing_merge_into_id_fkey FOREIGN KEY (into_id) REFERENCES thing (id) ON DELETE RESTRICT ON UPDATE RESTRICT,
  CONSTRAINT thing_merge_of_two CHECK (thing_id <> into_id),
  CONSTRAINT thing_merge_span CHECK (undone_at IS NULL OR undone_at >= at),
  CONSTRAINT thing_merge_place CHECK (place_kind IS NULL OR place_kind IN ('container', 'vehicle'))
);
-- A thing is merged once at a time.
CREATE UNIQUE INDEX thing_merge_stands ON thing_merge (thing_id) WHERE undone_at IS NULL;
CREATE INDEX thing_merge_into_id_idx ON thing_merge (into_id);

-- Which line of the ledger was taken back, and which one says the same of the other thing (none for a finding).
CREATE TABLE said_again (
  line_id UUID NOT NULL,
  merge_id UUID NOT NULL,
  again_id UUID,
  CONSTRAINT said_again_pkey PRIMARY KEY (line_id),
  CONSTRAINT said_again_line_id_fkey FOREIGN KEY (line_id) REFERENCES movement (id) ON DELETE RESTRICT ON UPDATE RESTRICT,
  CONSTRAINT said_again_again_id_fkey FOREIGN KEY (again_id) REFERENCES movement (id) ON DELETE RESTRICT ON UPDATE RESTRICT,
  CONSTRAINT said_again_merge_id_fkey FOREIGN KEY (merge_id) REFERENCES thing_merge (id) ON DELETE RESTRICT ON UPDATE RESTRICT
);
CREATE INDEX said_again_merge_id_idx ON said_again (merge_id);
CREATE INDEX thing_merged_into_id_idx ON thing (merged_into_id) WHERE merged_into_id IS NOT NULL;

COMMIT;
