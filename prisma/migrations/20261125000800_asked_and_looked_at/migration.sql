-- What an owner did about what is still out there, and about lines that wait or cannot be used.
BEGIN;
-- "Do you have it?": when, whom, by which way, and the words. Only ever added.
CREATE TABLE "asking" (
    "id" UUID NOT NULL,
    "thing_id" UUID NOT NULL,
    "at" BIGINT NOT NULL,
    "whom" TEXT NOT NULL,
    "way" TEXT NOT NULL,
    "said" TEXT NOT NULL,
    "party_id" UUID,
    "line_id" UUID,
    CONSTRAINT "asking_pkey" PRIMARY KEY ("id"),
    CONSTRAINT "asking_way" CHECK ("way" IN ('message', 'e-mail', 'call', 'in-person'))
);
CREATE INDEX "asking_thing_id_at_idx" ON "asking"("thing_id", "at" DESC);
ALTER TABLE "asking" ADD CONSTRAINT "asking_thing_id_fkey" FOREIGN KEY ("thing_id") REFERENCES "thing"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- What a phone holds and can never use: kept as it came, until somebody has looked at it.
CREATE TABLE "leftover" (
    "id" UUID NOT NULL,
    "device_id" UUID NOT NULL,
    "what" TEXT NOT NULL,
    "why" TEXT NOT NULL,
    "at" BIGINT NOT NULL,
    "received_at" BIGINT NOT NULL,
    "text" TEXT NOT NULL,
    CONSTRAINT "leftover_pkey" PRIMARY KEY ("id"),
    CONSTRAINT "leftover_what" CHECK ("what" IN ('movement', 'stop', 'row'))
);
CREATE INDEX "leftover_received_at_id_idx" ON "leftover"("received_at" DESC, "id" DESC);

-- Matters that somebody has looked at and left as they are. The matter itself stays where it is.
CREATE TABLE "looked_at" (
    "matter" TEXT NOT NULL,
    "ref" TEXT NOT NULL,
    "at" BIGINT NOT NULL,
    CONSTRAINT "looked_at_pkey" PRIMARY KEY ("matter", "ref"),
    CONSTRAINT "looked_at_matter" CHECK ("matter" IN ('waiting', 'loop', 'clock', 'leftover', 'code'))
);

-- Which finding a write-off of counted gear is about: that one names so many fewer from then on.
ALTER TABLE "write_off" ADD COLUMN "line_id" UUID;
COMMIT;
