-- Lines that are few among millions and asked for by themselves: what is missing, sealed, opened and closed.
BEGIN;
CREATE INDEX movement_rare ON movement (kind, at DESC, id DESC) WHERE kind IN ('absence', 'seal', 'unseal', 'open', 'close');
COMMIT;
