BEGIN;
-- CreateSchema
CREATE SCHEMA IF NOT EXISTS "public";

-- CreateTable
CREATE TABLE "outfit" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "name" TEXT NOT NULL,
    "currency" CHAR(3) NOT NULL,
    "zone" TEXT NOT NULL,
    "units" TEXT NOT NULL DEFAULT 'metric',
    "year_end" TEXT NOT NULL DEFAULT '12-31',
    "mains_volts" INTEGER NOT NULL DEFAULT 230,
    "day_turns_minutes" INTEGER NOT NULL DEFAULT 300,
    "demo" BOOLEAN NOT NULL DEFAULT false,
    "last_look" TEXT[],
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "outfit_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "person" (
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "role" TEXT NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "person_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "device" (
    "id" UUID NOT NULL,
    "person_id" UUID,
    "name" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "seen_at" BIGINT,
    "removed_at" BIGINT,

    CONSTRAINT "device_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "clock_run" (
    "id" UUID NOT NULL,
    "device_id" UUID NOT NULL,
    "offset_ms" BIGINT NOT NULL,
    "measured" BOOLEAN NOT NULL,
    "uncertain" BOOLEAN NOT NULL,
    "first_no" INTEGER NOT NULL,
    "last_no" INTEGER NOT NULL,
    "first_at" BIGINT NOT NULL,
    "last_at" BIGINT NOT NULL,

    CONSTRAINT "clock_run_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "party" (
    "place_id" UUID NOT NULL,
    "role" TEXT NOT NULL,
    "contact" TEXT,
    "email" TEXT,
    "phone" TEXT,
    "address" TEXT,
    "note" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "party_pkey" PRIMARY KEY ("place_id")
);

-- CreateTable
CREATE TABLE "place" (
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "parent_id" UUID,
    "thing_id" UUID,
    "sort" INTEGER NOT NULL DEFAULT 0,
    "zone" TEXT,
    "address" TEXT,
    "note" TEXT,
    "folded" TEXT NOT NULL DEFAULT '',
    "unnamed" BOOLEAN NOT NULL DEFAULT false,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "place_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "class" (
    "id" UUID NOT NULL,
    "parent_id" UUID,
    "name" TEXT NOT NULL,
    "check" TEXT NOT NULL DEFAULT 'seen',
    "forgotten" INTEGER NOT NULL DEFAULT 0,
    "essential" BOOLEAN NOT NULL DEFAULT false,
    "life_months" INTEGER,
    "residual_permille" INTEGER,
    "needs" TEXT[],
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "class_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "thing" (
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "class_id" UUID,
    "maker" TEXT,
    "model" TEXT,
    "description" TEXT,
    "serial" TEXT,
    "whose" TEXT NOT NULL DEFAULT 'ours',
    "owner_place_id" UUID,
    "whose_from" DATE,
    "whose_until" DATE,
    "fee_minor" BIGINT,
    "fee_per" TEXT,
    "weight_grams" INTEGER,
    "width_mm" INTEGER,
    "height_mm" INTEGER,
    "depth_mm" INTEGER,
    "purchased_on" DATE,
    "purchase_minor" BIGINT,
    "purchase_currency" CHAR(3),
    "purchase_rate" DECIMAL(18,9),
    "purchased_from" TEXT,
    "country" CHAR(2),
    "container" BOOLEAN NOT NULL DEFAULT false,
    "check" TEXT,
    "built_on_id" UUID,
    "chemistry" TEXT,
    "watt_hours" DECIMAL(10,2),
    "volts" DECIMAL(10,2),
    "ampere_hours" DECIMAL(10,3),
    "lithium_grams" DECIMAL(10,2),
    "cycles" INTEGER,
    "unit" TEXT,
    "par" INTEGER,
    "note" TEXT,
    "folded" TEXT NOT NULL DEFAULT '',
    "import_key" TEXT,
    "merged_into_id" UUID,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "thing_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "home" (
    "thing_id" UUID NOT NULL,
    "way" TEXT NOT NULL,
    "place_id" UUID NOT NULL,
    "number" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "home_pkey" PRIMARY KEY ("thing_id","way","place_id")
);

-- CreateTable
CREATE TABLE "replacement_value" (
    "id" UUID NOT NULL,
    "thing_id" UUID NOT NULL,
    "amount_minor" BIGINT NOT NULL,
    "currency" CHAR(3) NOT NULL,
    "on_date" DATE NOT NULL,
    "source" TEXT NOT NULL,
    "person_id" UUID,

    CONSTRAINT "replacement_value_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "sundries" (
    "id" UUID NOT NULL,
    "place_id" UUID,
    "class_id" UUID,
    "description" TEXT NOT NULL,
    "amount_minor" BIGINT NOT NULL,
    "currency" CHAR(3) NOT NULL,
    "on_date" DATE NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "sundries_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "package" (
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "note" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "package_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "package_line" (
    "id" UUID NOT NULL,
    "package_id" UUID NOT NULL,
    "thing_id" UUID,
    "class_id" UUID,
    "number" INTEGER NOT NULL DEFAULT 1,
    "spares" INTEGER NOT NULL DEFAULT 0,
    "sort" INTEGER NOT NULL DEFAULT 0,

    CONSTRAINT "package_line_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "picture" (
    "id" UUID NOT NULL,
    "thing_id" UUID,
    "place_id" UUID,
    "mime" TEXT NOT NULL,
    "bytes" BYTEA NOT NULL,
    "taken_at" BIGINT NOT NULL,

    CONSTRAINT "picture_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "code" (
    "id" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "thing_id" UUID,
    "place_id" UUID,
    "since" BIGINT NOT NULL,
    "until" BIGINT,

    CONSTRAINT "code_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "blank_tag" (
    "code" TEXT NOT NULL,
    "block_id" UUID NOT NULL,
    "made_at" BIGINT NOT NULL,

    CONSTRAINT "blank_tag_pkey" PRIMARY KEY ("code")
);

-- CreateTable
CREATE TABLE "write_off" (
    "id" UUID NOT NULL,
    "thing_id" UUID NOT NULL,
    "number" INTEGER NOT NULL DEFAULT 1,
    "on_date" DATE NOT NULL,
    "reason" TEXT NOT NULL,
    "note" TEXT,
    "person_id" UUID,

    CONSTRAINT "write_off_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "job" (
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "party_id" UUID,
    "starts_on" DATE,
    "ends_on" DATE,
    "note" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "job_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "stop" (
    "id" UUID NOT NULL,
    "job_id" UUID,
    "place_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "zone" TEXT NOT NULL,
    "starts_at" BIGINT NOT NULL,
    "ends_at" BIGINT,
    "unnamed" BOOLEAN NOT NULL DEFAULT false,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "stop_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "movement" (
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "thing_id" UUID,
    "code" TEXT,
    "from_id" UUID,
    "to_id" UUID,
    "number" INTEGER,
    "voids" UUID,
    "stop_id" UUID,
    "round" INTEGER,
    "at" BIGINT NOT NULL,
    "time_uncertain" BOOLEAN NOT NULL DEFAULT false,
    "device_id" UUID NOT NULL,
    "device_no" INTEGER NOT NULL,
    "person_id" UUID,
    "received_at" BIGINT NOT NULL,
    "body" JSONB NOT NULL,

    CONSTRAINT "movement_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "movement_waiting" (
    "id" UUID NOT NULL,
    "at" BIGINT NOT NULL,
    "time_uncertain" BOOLEAN NOT NULL,
    "device_id" UUID NOT NULL,
    "device_no" INTEGER NOT NULL,
    "received_at" BIGINT NOT NULL,
    "waits_for" TEXT NOT NULL,
    "ref" TEXT NOT NULL,
    "body" JSONB NOT NULL,

    CONSTRAINT "movement_waiting_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "position" (
    "thing_id" UUID NOT NULL,
    "place_id" UUID NOT NULL,
    "at" BIGINT NOT NULL,
    "movement_id" UUID NOT NULL,

    CONSTRAINT "position_pkey" PRIMARY KEY ("thing_id")
);

-- CreateTable
CREATE TABLE "stock_level" (
    "thing_id" UUID NOT NULL,
    "place_id" UUID NOT NULL,
    "number" BIGINT NOT NULL,

    CONSTRAINT "stock_level_pkey" PRIMARY KEY ("thing_id","place_id")
);

-- CreateTable
CREATE TABLE "change_waiting" (
    "id" BIGSERIAL NOT NULL,
    "kind" TEXT NOT NULL,
    "ref" TEXT NOT NULL,

    CONSTRAINT "change_waiting_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "change" (
    "no" BIGINT NOT NULL,
    "token" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "ref" TEXT NOT NULL,

    CONSTRAINT "change_pkey" PRIMARY KEY ("no")
);

-- CreateIndex
CREATE INDEX "clock_run_device_id_last_no_idx" ON "clock_run"("device_id", "last_no");

-- CreateIndex
CREATE UNIQUE INDEX "place_thing_id_key" ON "place"("thing_id");

-- CreateIndex
CREATE INDEX "place_parent_id_idx" ON "place"("parent_id");

-- CreateIndex
CREATE UNIQUE INDEX "class_parent_id_name_key" ON "class"("parent_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "thing_import_key_key" ON "thing"("import_key");

-- CreateIndex
CREATE INDEX "thing_class_id_idx" ON "thing"("class_id");

-- CreateIndex
CREATE INDEX "thing_built_on_id_idx" ON "thing"("built_on_id");

-- CreateIndex
CREATE INDEX "thing_name_id_idx" ON "thing"("name", "id");

-- CreateIndex
CREATE INDEX "home_place_id_idx" ON "home"("place_id");

-- CreateIndex
CREATE INDEX "replacement_value_thing_id_on_date_idx" ON "replacement_value"("thing_id", "on_date");

-- CreateIndex
CREATE INDEX "picture_thing_id_idx" ON "picture"("thing_id");

-- CreateIndex
CREATE INDEX "picture_place_id_idx" ON "picture"("place_id");

-- CreateIndex
CREATE INDEX "code_code_since_idx" ON "code"("code", "since");

-- CreateIndex
CREATE INDEX "code_thing_id_idx" ON "code"("thing_id");

-- CreateIndex
CREATE INDEX "blank_tag_block_id_idx" ON "blank_tag"("block_id");

-- CreateIndex
CREATE INDEX "write_off_thing_id_idx" ON "write_off"("thing_id");

-- CreateIndex
CREATE INDEX "stop_starts_at_idx" ON "stop"("starts_at");

-- CreateIndex
CREATE INDEX "stop_job_id_idx" ON "stop"("job_id");

-- CreateIndex
CREATE INDEX "stop_place_id_idx" ON "stop"("place_id");

-- CreateIndex
CREATE INDEX "movement_thing_id_at_id_idx" ON "movement"("thing_id", "at" DESC, "id" DESC);

-- CreateIndex
CREATE INDEX "movement_at_id_idx" ON "movement"("at", "id");

-- CreateIndex
CREATE INDEX "movement_waiting_waits_for_ref_idx" ON "movement_waiting"("waits_for", "ref");

-- CreateIndex
CREATE INDEX "position_place_id_idx" ON "position"("place_id");

-- CreateIndex
CREATE INDEX "stock_level_place_id_idx" ON "stock_level"("place_id");

-- AddForeignKey
ALTER TABLE "device" ADD CONSTRAINT "device_person_id_fkey" FOREIGN KEY ("person_id") REFERENCES "person"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "clock_run" ADD CONSTRAINT "clock_run_device_id_fkey" FOREIGN KEY ("device_id") REFERENCES "device"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "party" ADD CONSTRAINT "party_place_id_fkey" FOREIGN KEY ("place_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "place" ADD CONSTRAINT "place_parent_id_fkey" FOREIGN KEY ("parent_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "place" ADD CONSTRAINT "place_thing_id_fkey" FOREIGN KEY ("thing_id") REFERENCES "thing"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "class" ADD CONSTRAINT "class_parent_id_fkey" FOREIGN KEY ("parent_id") REFERENCES "class"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "thing" ADD CONSTRAINT "thing_class_id_fkey" FOREIGN KEY ("class_id") REFERENCES "class"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "thing" ADD CONSTRAINT "thing_built_on_id_fkey" FOREIGN KEY ("built_on_id") REFERENCES "thing"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "thing" ADD CONSTRAINT "thing_merged_into_id_fkey" FOREIGN KEY ("merged_into_id") REFERENCES "thing"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "home" ADD CONSTRAINT "home_thing_id_fkey" FOREIGN KEY ("thing_id") REFERENCES "thing"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "home" ADD CONSTRAINT "home_place_id_fkey" FOREIGN KEY ("place_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "replacement_value" ADD CONSTRAINT "replacement_value_thing_id_fkey" FOREIGN KEY ("thing_id") REFERENCES "thing"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "sundries" ADD CONSTRAINT "sundries_place_id_fkey" FOREIGN KEY ("place_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "sundries" ADD CONSTRAINT "sundries_class_id_fkey" FOREIGN KEY ("class_id") REFERENCES "class"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "package_line" ADD CONSTRAINT "package_line_package_id_fkey" FOREIGN KEY ("package_id") REFERENCES "package"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "package_line" ADD CONSTRAINT "package_line_thing_id_fkey" FOREIGN KEY ("thing_id") REFERENCES "thing"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "package_line" ADD CONSTRAINT "package_line_class_id_fkey" FOREIGN KEY ("class_id") REFERENCES "class"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "picture" ADD CONSTRAINT "picture_thing_id_fkey" FOREIGN KEY ("thing_id") REFERENCES "thing"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "picture" ADD CONSTRAINT "picture_place_id_fkey" FOREIGN KEY ("place_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "code" ADD CONSTRAINT "code_thing_id_fkey" FOREIGN KEY ("thing_id") REFERENCES "thing"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "code" ADD CONSTRAINT "code_place_id_fkey" FOREIGN KEY ("place_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "write_off" ADD CONSTRAINT "write_off_thing_id_fkey" FOREIGN KEY ("thing_id") REFERENCES "thing"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "job" ADD CONSTRAINT "job_party_id_fkey" FOREIGN KEY ("party_id") REFERENCES "party"("place_id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stop" ADD CONSTRAINT "stop_job_id_fkey" FOREIGN KEY ("job_id") REFERENCES "job"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stop" ADD CONSTRAINT "stop_place_id_fkey" FOREIGN KEY ("place_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "movement" ADD CONSTRAINT "movement_thing_id_fkey" FOREIGN KEY ("thing_id") REFERENCES "thing"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "movement" ADD CONSTRAINT "movement_to_id_fkey" FOREIGN KEY ("to_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "movement" ADD CONSTRAINT "movement_stop_id_fkey" FOREIGN KEY ("stop_id") REFERENCES "stop"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "movement" ADD CONSTRAINT "movement_from_id_fkey" FOREIGN KEY ("from_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "position" ADD CONSTRAINT "position_thing_id_fkey" FOREIGN KEY ("thing_id") REFERENCES "thing"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "position" ADD CONSTRAINT "position_place_id_fkey" FOREIGN KEY ("place_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stock_level" ADD CONSTRAINT "stock_level_thing_id_fkey" FOREIGN KEY ("thing_id") REFERENCES "thing"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "stock_level" ADD CONSTRAINT "stock_level_place_id_fkey" FOREIGN KEY ("place_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
COMMIT;
