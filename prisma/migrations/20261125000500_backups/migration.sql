-- Where the outfit's backup files go, and what became of each one that was written.
BEGIN;

CREATE TABLE backup_setting (
  id INTEGER NOT NULL DEFAULT 1,
  folder TEXT NOT NULL,
  CONSTRAINT backup_setting_pkey PRIMARY KEY (id),
  CONSTRAINT backup_setting_is_one CHECK (id = 1)
);

CREATE TABLE backup_run (
  id UUID NOT NULL,
  started_at BIGINT NOT NULL,
  ended_at BIGINT,
  folder TEXT NOT NULL,
  file TEXT NOT NULL,
  step TEXT NOT NULL,
  rows_done BIGINT NOT NULL DEFAULT 0,
  rows_all BIGINT NOT NULL DEFAULT 0,
  bytes BIGINT,
  trouble TEXT,
  check_database TEXT,
  CONSTRAINT backup_run_pkey PRIMARY KEY (id),
  CONSTRAINT backup_run_step CHECK (step IN ('writing', 'checking', 'good', 'not-checked', 'broken', 'failed')),
  CONSTRAINT backup_run_ended CHECK ((ended_at IS NULL) = (step IN ('writing', 'checking')))
);
CREATE INDEX backup_run_started_at_idx ON backup_run (started_at DESC);

COMMIT;
