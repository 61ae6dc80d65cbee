-- What must hold and Prisma's schema cannot say: checks, partial indexes, the search extension.
BEGIN;

CREATE EXTENSION IF NOT EXISTS pg_trgm;

ALTER TABLE outfit
  ADD CONSTRAINT outfit_is_one CHECK (id = 1),
  ADD CONSTRAINT outfit_currency_iso CHECK (currency ~ '^[A-Z]{3}$'),
  ADD CONSTRAINT outfit_units CHECK (units IN ('metric', 'imperial')),
  ADD CONSTRAINT outfit_day_turns CHECK (day_turns_minutes BETWEEN 0 AND 1439);

ALTER TABLE person ADD CONSTRAINT person_role CHECK (role IN ('owner', 'crew', 'viewer'));
ALTER TABLE device ADD CONSTRAINT device_kind CHECK (kind IN ('phone', 'desk', 'service'));

ALTER TABLE clock_run
  ADD CONSTRAINT clock_run_numbers CHECK (first_no >= 1 AND last_no >= first_no),
  ADD CONSTRAINT clock_run_times CHECK (last_at >= first_at);

ALTER TABLE place
  ADD CONSTRAINT place_kind CHECK (kind IN ('store', 'vehicle', 'compartment', 'container', 'location', 'hotel', 'in-transit', 'party')),
  ADD CONSTRAINT place_named CHECK (name <> ''),
  -- A vehicle or a container is the thing of the same id and moves as it; every other place stands still.
  ADD CONSTRAINT place_moves CHECK ((kind IN ('vehicle', 'container')) = (thing_id IS NOT NULL)),
  ADD CONSTRAINT place_is_its_thing CHECK (thing_id IS NULL OR thing_id = id),
  ADD CONSTRAINT place_moving_has_no_parent CHECK (thing_id IS NULL OR parent_id IS NULL),
  ADD CONSTRAINT place_not_in_itself CHECK (parent_id IS NULL OR parent_id <> id);

ALTER TABLE class
  ADD CONSTRAINT class_check CHECK ("check" IN ('scanned', 'seen', 'by-number', 'by-sight', 'with-container', 'not-opened')),
  ADD CONSTRAINT class_forgotten CHECK (forgotten BETWEEN 0 AND 3),
  ADD CONSTRAINT class_residual CHECK (residual_permille IS NULL OR residual_permille BETWEEN 0 AND 1000),
  ADD CONSTRAINT class_not_in_itself CHECK (parent_id IS NULL OR parent_id <> id);
-- A unique index sees two NULL parents as different; the top of the tree needs its own.
CREATE UNIQUE INDEX class_top_name ON class (name) WHERE parent_id IS NULL;

ALTER TABLE thing
  ADD CONSTRAINT thing_kind CHECK (kind IN ('item', 'counted', 'consumable')),
  ADD CONSTRAINT thing_named CHECK (name <> ''),
  ADD CONSTRAINT thing_whose CHECK (whose IN ('ours', 'rented-in', 'borrowed', 'client')),
  ADD CONSTRAINT thing_check CHECK ("check" IS NULL OR "check" IN ('scanned', 'seen', 'by-number', 'by-sight', 'with-container', 'not-opened')),
  ADD CONSTRAINT thing_container_is_item CHECK (NOT container OR kind = 'item'),
  ADD CONSTRAINT thing_fee CHECK ((fee_minor IS NULL) = (fee_per IS NULL) AND (fee_per IS NULL OR fee_per IN ('day', 'week', 'month', 'job'))),
  ADD CONSTRAINT thing_whose_dates CHECK (whose_from IS NULL OR whose_until IS NULL OR whose_until >= whose_from),
  ADD CONSTRAINT thing_purchase CHECK ((purchase_minor IS NULL) = (purchase_currency IS NULL)),
  ADD CONSTRAINT thing_country CHECK (country IS NULL OR country ~ '^[A-Z]{2}$'),
  ADD CONSTRAINT thing_measures CHECK (least(weight_grams, width_mm, height_mm, depth_mm, cycles, par) >= 0),
  ADD CONSTRAINT thing_not_built_on_itself CHECK (built_on_id IS NULL OR built_on_id <> id),
  ADD CONSTRAINT thing_not_merged_into_itself CHECK (merged_into_id IS NULL OR merged_into_id <> id),
  ADD CONSTRAINT thing_owner_place FOREIGN KEY (owner_place_id) REFERENCES place (id) ON DELETE RESTRICT ON UPDATE RESTRICT;
CREATE INDEX thing_folded ON thing USING gin (folded gin_trgm_ops);
CREATE INDEX place_folded ON place USING gin (folded gin_trgm_ops);

ALTER TABLE home
  ADD CONSTRAINT home_way CHECK (way IN ('driving', 'flying')),
  ADD CONSTRAINT home_number CHECK (number >= 1),
  ADD CONSTRAINT home_not_itself CHECK (place_id <> thing_id);

ALTER TABLE replacement_value ADD CONSTRAINT replacement_value_amount CHECK (amount_minor >= 0 AND currency ~ '^[A-Z]{3}$');
ALTER TABLE sundries
  ADD CONSTRAINT sundries_amount CHECK (amount_minor >= 0 AND currency ~ '^[A-Z]{3}$'),
  ADD CONSTRAINT sundries_of_one CHECK (num_nonnulls(place_id, class_id) = 1);

ALTER TABLE package_line
  ADD CONSTRAINT package_line_of_one CHECK (num_nonnulls(thing_id, class_id) = 1),
  ADD CONSTRAINT package_line_number CHECK (number >= 1 AND spares >= 0);

ALTER TABLE picture ADD CONSTRAINT picture_of_one CHECK (num_nonnulls(thing_id, place_id) = 1);

ALTER TABLE code
  ADD CONSTRAINT code_kind CHECK (kind IN ('tag', 'foreign', 'gtin')),
  ADD CONSTRAINT code_of_one CHECK (num_nonnulls(thing_id, place_id) = 1),
  ADD CONSTRAINT code_span CHECK (until IS NULL OR until >= since);
-- A code names one thing at a time; a GTIN names a product and may stand on many.
CREATE UNIQUE INDEX code_names_one ON code (code) WHERE until IS NULL AND kind <> 'gtin';
CREATE INDEX code_place ON code (place_id) WHERE place_id IS NOT NULL;

ALTER TABLE write_off
  ADD CONSTRAINT write_off_number CHECK (number >= 1),
  ADD CONSTRAINT write_off_reason CHECK (reason IN ('lost', 'stolen', 'destroyed', 'sold'));

ALTER TABLE stop ADD CONSTRAINT stop_kind CHECK (kind IN ('location', 'hotel'));

ALTER TABLE movement
  ADD CONSTRAINT movement_kind CHECK (kind IN ('move', 'quantity', 'hand-count', 'void', 'seal', 'unseal', 'absence', 'answer', 'mark', 'open', 'close')),
  ADD CONSTRAINT movement_number CHECK (number IS NULL OR number > 0 OR (kind = 'hand-count' AND number = 0)),
  ADD CONSTRAINT movement_void CHECK ((kind = 'void') = (voids IS NOT NULL)),
  ADD CONSTRAINT movement_void_of_another CHECK (voids IS NULL OR voids <> id),
  ADD CONSTRAINT movement_has_thing CHECK (thing_id IS NOT NULL OR kind IN ('void', 'answer', 'open', 'close') OR (kind = 'move' AND code IS NOT NULL)),
  ADD CONSTRAINT movement_goes_somewhere CHECK (kind <> 'move' OR to_id IS NOT NULL),
  ADD CONSTRAINT movement_voided_known FOREIGN KEY (voids) REFERENCES movement (id) ON DELETE RESTRICT ON UPDATE RESTRICT;
CREATE INDEX movement_voids ON movement (voids) WHERE voids IS NOT NULL;
CREATE INDEX movement_stop ON movement (stop_id, round) WHERE stop_id IS NOT NULL;
CREATE INDEX movement_open_code ON movement (code) WHERE kind = 'move' AND thing_id IS NULL;

-- Only added (law 2): the database itself refuses to change or delete a line. One change is let through: tying the
-- line of an unknown code to the thing that the code turned out to be (law 3), once.
CREATE FUNCTION movement_only_added() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF TG_OP = 'UPDATE' AND OLD.thing_id IS NULL AND NEW.thing_id IS NOT NULL
     AND to_jsonb(NEW) - 'thing_id' = to_jsonb(OLD) - 'thing_id' THEN
    RETURN NEW;
  END IF;
  RAISE EXCEPTION 'a line of the ledger is never changed or deleted' USING ERRCODE = 'restrict_violation';
END $$;
CREATE TRIGGER movement_only_added BEFORE UPDATE OR DELETE ON movement FOR EACH ROW EXECUTE FUNCTION movement_only_added();

COMMIT;
