-- A device names the runs of its clock itself, so two devices may name theirs alike: a run is known by both.
BEGIN;
ALTER TABLE clock_run DROP CONSTRAINT clock_run_pkey, ADD CONSTRAINT clock_run_pkey PRIMARY KEY (device_id, id);
COMMIT;
