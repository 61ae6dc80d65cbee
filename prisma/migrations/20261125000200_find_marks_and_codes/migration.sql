-- Reading a thing asks for its latest marks, and the search for any part of a code, however long the ledger is.
BEGIN;
CREATE INDEX movement_marks ON movement (thing_id, at DESC, id DESC) WHERE kind = 'mark';
CREATE INDEX code_parts ON code USING gin (upper(code) gin_trgm_ops);
COMMIT;
