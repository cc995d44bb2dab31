"""The first schema: definitions of a household, and the logbook that is only added to."""

from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

# As the program of that time made it; later programs change it by later steps, never here.
STATEMENTS = (
    """CREATE TABLE household (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    name TEXT NOT NULL,
    zone TEXT NOT NULL,
    day_begins TEXT NOT NULL,
    round_at TEXT NOT NULL,
    first_weekday INTEGER NOT NULL
        CONSTRAINT first_weekday_check CHECK (first_weekday BETWEEN 0 AND 6),
    currency TEXT NOT NULL,
    units_volume TEXT NOT NULL,
    units_temperature TEXT NOT NULL,
    units_salinity TEXT NOT NULL,
    units_alkalinity TEXT NOT NULL,
    definitions_version INTEGER NOT NULL
        CONSTRAINT definitions_version_check CHECK (definitions_version >= 0),
    lineage TEXT NOT NULL,
    last_host TEXT NOT NULL,
    PRIMARY KEY (place),
    CONSTRAINT one_row_check CHECK (place = 0)
)
 STRICT""",
    """CREATE TABLE person (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    id TEXT NOT NULL,
    name TEXT NOT NULL,
    minutes TEXT,
    lifts_kg REAL CONSTRAINT lifts_kg_check CHECK (lifts_kg BETWEEN 0.0 AND 1000.0),
    not_for TEXT NOT NULL,
    PRIMARY KEY (id)
)
 STRICT""",
    """CREATE TABLE room (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    id TEXT NOT NULL,
    name TEXT NOT NULL,
    air_speed_m_s REAL
        CONSTRAINT air_speed_m_s_check CHECK (air_speed_m_s BETWEEN 0.0 AND 50.0),
    PRIMARY KEY (id)
)
 STRICT""",
    """CREATE TABLE container (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    name TEXT NOT NULL,
    litres REAL NOT NULL
        CONSTRAINT litres_check CHECK (litres BETWEEN 0.0 AND 100000.0),
    count INTEGER NOT NULL CONSTRAINT count_check CHECK (count BETWEEN 0 AND 1000000),
    tare_kg REAL CONSTRAINT tare_kg_check CHECK (tare_kg BETWEEN 0.0 AND 10000.0),
    holds TEXT NOT NULL,
    PRIMARY KEY (place)
)
 STRICT""",
    """CREATE TABLE water_supply (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    source TEXT NOT NULL,
    litres_per_day_rated REAL
        CONSTRAINT litres_per_day_rated_check
            CHECK (litres_per_day_rated BETWEEN 0.0 AND 100000.0),
    feed_water_c REAL
        CONSTRAINT feed_water_c_check CHECK (feed_water_c BETWEEN -60.0 AND 100.0),
    waste_per_litre REAL
        CONSTRAINT waste_per_litre_check CHECK (waste_per_litre BETWEEN 0.0 AND 1000.0),
    price_per_litre REAL
        CONSTRAINT price_per_litre_check CHECK (price_per_litre BETWEEN 0.0 AND 1000000000.0),
    store_litres REAL
        CONSTRAINT store_litres_check CHECK (store_litres BETWEEN 0.0 AND 100000.0),
    PRIMARY KEY (place)
)
 STRICT""",
    """CREATE TABLE salt_mix (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    grams_per_litre REAL
        CONSTRAINT grams_per_litre_check CHECK (grams_per_litre BETWEEN 0.0 AND 1000.0),
    mixing_hours REAL
        CONSTRAINT mixing_hours_check CHECK (mixing_hours BETWEEN 0.0 AND 10000.0),
    price_per_kg REAL
        CONSTRAINT price_per_kg_check CHECK (price_per_kg BETWEEN 0.0 AND 1000000000.0),
    store_litres REAL
        CONSTRAINT store_litres_check CHECK (store_litres BETWEEN 0.0 AND 100000.0),
    PRIMARY KEY (place)
)
 STRICT""",
    """CREATE TABLE supply (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    id TEXT NOT NULL,
    name TEXT NOT NULL,
    unit TEXT NOT NULL,
    stock REAL CONSTRAINT stock_check CHECK (stock BETWEEN 0.0 AND 1000000000.0),
    counted_on TEXT CONSTRAINT counted_on_check CHECK (length(counted_on) = 10),
    pack REAL CONSTRAINT pack_check CHECK (pack BETWEEN 0.0 AND 1000000000.0),
    lead_days INTEGER CONSTRAINT lead_days_check CHECK (lead_days BETWEEN 0 AND 3650),
    expires_on TEXT CONSTRAINT expires_on_check CHECK (length(expires_on) = 10),
    PRIMARY KEY (id)
)
 STRICT""",
    """CREATE TABLE climate (
    room TEXT NOT NULL,
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    month INTEGER NOT NULL CONSTRAINT month_check CHECK (month BETWEEN 0 AND 12),
    temperature_c REAL NOT NULL
        CONSTRAINT temperature_c_check CHECK (temperature_c BETWEEN -60.0 AND 100.0),
    humidity REAL NOT NULL
        CONSTRAINT humidity_check CHECK (humidity BETWEEN 0.0 AND 1.0),
    PRIMARY KEY (room, place),
    FOREIGN KEY(room) REFERENCES room (id)
)
 STRICT""",
    """CREATE TABLE tank (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    id TEXT NOT NULL,
    name TEXT NOT NULL,
    room TEXT,
    walk_order INTEGER
        CONSTRAINT walk_order_check CHECK (walk_order BETWEEN -1000000 AND 1000000),
    community TEXT,
    stage TEXT NOT NULL,
    since TEXT CONSTRAINT since_check CHECK (length(since) = 10),
    target_salinity REAL
        CONSTRAINT target_salinity_check CHECK (target_salinity BETWEEN 0.0 AND 100.0),
    target_temperature_c REAL
        CONSTRAINT target_temperature_c_check
            CHECK (target_temperature_c BETWEEN -60.0 AND 100.0),
    jumpers INTEGER CONSTRAINT jumpers_check CHECK (jumpers IN (0, 1)),
    shape_kind TEXT NOT NULL,
    shape_measured TEXT NOT NULL,
    shape_length_cm REAL
        CONSTRAINT shape_length_cm_check CHECK (shape_length_cm BETWEEN 0.0 AND 10000.0),
    shape_width_cm REAL
        CONSTRAINT shape_width_cm_check CHECK (shape_width_cm BETWEEN 0.0 AND 10000.0),
    shape_height_cm REAL
        CONSTRAINT shape_height_cm_check CHECK (shape_height_cm BETWEEN 0.0 AND 10000.0),
    shape_water_depth_cm REAL
        CONSTRAINT shape_water_depth_cm_check
            CHECK (shape_water_depth_cm BETWEEN 0.0 AND 10000.0),
    shape_glass_mm REAL
        CONSTRAINT shape_glass_mm_check CHECK (shape_glass_mm BETWEEN 0.0 AND 10000.0),
    shape_base_mm REAL
        CONSTRAINT shape_base_mm_check CHECK (shape_base_mm BETWEEN 0.0 AND 10000.0),
    shape_diameter_cm REAL
        CONSTRAINT shape_diameter_cm_check CHECK (shape_diameter_cm BETWEEN 0.0 AND 10000.0),
    shape_bow_cm REAL
        CONSTRAINT shape_bow_cm_check CHECK (shape_bow_cm BETWEEN 0.0 AND 10000.0),
    shape_sides INTEGER
        CONSTRAINT shape_sides_check CHECK (shape_sides BETWEEN 0 AND 1000),
    shape_edge_cm REAL
        CONSTRAINT shape_edge_cm_check CHECK (shape_edge_cm BETWEEN 0.0 AND 10000.0),
    shape_litres REAL
        CONSTRAINT shape_litres_check CHECK (shape_litres BETWEEN 0.0 AND 100000.0),
    shape_surface_cm2 REAL
        CONSTRAINT shape_surface_cm2_check
            CHECK (shape_surface_cm2 BETWEEN 0.0 AND 1000000000.0),
    has_displaced INTEGER NOT NULL
        CONSTRAINT has_displaced_check CHECK (has_displaced IN (0, 1)),
    displaced_rock_dry_kg REAL
        CONSTRAINT displaced_rock_dry_kg_check
            CHECK (displaced_rock_dry_kg BETWEEN 0.0 AND 1000000.0),
    displaced_sand_depth_cm REAL
        CONSTRAINT displaced_sand_depth_cm_check
            CHECK (displaced_sand_depth_cm BETWEEN 0.0 AND 10000.0),
    displaced_rock_wet_kg REAL
        CONSTRAINT displaced_rock_wet_kg_check
            CHECK (displaced_rock_wet_kg BETWEEN 0.0 AND 1000000.0),
    displaced_rock_envelope_kg_per_l REAL
        CONSTRAINT displaced_rock_envelope_kg_per_l_check
            CHECK (displaced_rock_envelope_kg_per_l BETWEEN 0.0 AND 100.0),
    displaced_rock_open_porosity REAL
        CONSTRAINT displaced_rock_open_porosity_check
            CHECK (displaced_rock_open_porosity BETWEEN 0.0 AND 1.0),
    displaced_rock_submerged REAL
        CONSTRAINT displaced_rock_submerged_check
            CHECK (displaced_rock_submerged BETWEEN 0.0 AND 1.0),
    displaced_sand_dry_kg REAL
        CONSTRAINT displaced_sand_dry_kg_check
            CHECK (displaced_sand_dry_kg BETWEEN 0.0 AND 1000000.0),
    displaced_sand_porosity REAL
        CONSTRAINT displaced_sand_porosity_check
            CHECK (displaced_sand_porosity BETWEEN 0.0 AND 1.0),
    displaced_equipment_l REAL
        CONSTRAINT displaced_equipment_l_check
            CHECK (displaced_equipment_l BETWEEN 0.0 AND 100000.0),
    has_sump INTEGER NOT NULL CONSTRAINT has_sump_check CHECK (has_sump IN (0, 1)),
    sump_litres REAL
        CONSTRAINT sump_litres_check CHECK (sump_litres BETWEEN 0.0 AND 100000.0),
    sump_last_chamber_cm2 REAL
        CONSTRAINT sump_last_chamber_cm2_check
            CHECK (sump_last_chamber_cm2 BETWEEN 0.0 AND 1000000000.0),
    sump_in_cabinet INTEGER
        CONSTRAINT sump_in_cabinet_check CHECK (sump_in_cabinet IN (0, 1)),
    sump_surface_cm2 REAL
        CONSTRAINT sump_surface_cm2_check CHECK (sump_surface_cm2 BETWEEN 0.0 AND 1000000000.0),
    sump_pipes_l REAL
        CONSTRAINT sump_pipes_l_check CHECK (sump_pipes_l BETWEEN 0.0 AND 100000.0),
    has_cover INTEGER NOT NULL CONSTRAINT has_cover_check CHECK (has_cover IN (0, 1)),
    cover_kind TEXT,
    cover_covered REAL
        CONSTRAINT cover_covered_check CHECK (cover_covered BETWEEN 0.0 AND 1.0),
    top_off_allowed_drop_mm REAL
        CONSTRAINT top_off_allowed_drop_mm_check
            CHECK (top_off_allowed_drop_mm BETWEEN 0.0 AND 10000.0),
    top_off_allowed_salinity_rise REAL
        CONSTRAINT top_off_allowed_salinity_rise_check
            CHECK (top_off_allowed_salinity_rise BETWEEN 0.0 AND 100.0),
    top_off_reservoir_l REAL
        CONSTRAINT top_off_reservoir_l_check
            CHECK (top_off_reservoir_l BETWEEN 0.0 AND 100000.0),
    top_off_reserve_l REAL
        CONSTRAINT top_off_reserve_l_check CHECK (top_off_reserve_l BETWEEN 0.0 AND 100000.0),
    PRIMARY KEY (id),
    FOREIGN KEY(room) REFERENCES room (id)
)
 STRICT""",
    """CREATE TABLE own_range (
    tank TEXT NOT NULL,
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    parameter TEXT NOT NULL,
    low REAL CONSTRAINT low_check CHECK (low BETWEEN -1000000000.0 AND 1000000000.0),
    high REAL CONSTRAINT high_check CHECK (high BETWEEN -1000000000.0 AND 1000000000.0),
    unit TEXT NOT NULL,
    PRIMARY KEY (tank, place),
    FOREIGN KEY(tank) REFERENCES tank (id)
)
 STRICT""",
    """CREATE TABLE equipment (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    kind TEXT NOT NULL,
    name TEXT NOT NULL,
    tank TEXT,
    installed_on TEXT CONSTRAINT installed_on_check CHECK (length(installed_on) = 10),
    life_months INTEGER
        CONSTRAINT life_months_check CHECK (life_months BETWEEN 0 AND 12000),
    PRIMARY KEY (place),
    FOREIGN KEY(tank) REFERENCES tank (id)
)
 STRICT""",
    """CREATE TABLE animal (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    tank TEXT NOT NULL,
    name TEXT NOT NULL,
    count INTEGER NOT NULL CONSTRAINT count_check CHECK (count BETWEEN 0 AND 1000000),
    added_on TEXT CONSTRAINT added_on_check CHECK (length(added_on) = 10),
    diet TEXT NOT NULL,
    jumper INTEGER CONSTRAINT jumper_check CHECK (jumper IN (0, 1)),
    has_lost INTEGER NOT NULL CONSTRAINT has_lost_check CHECK (has_lost IN (0, 1)),
    lost_on TEXT CONSTRAINT lost_on_check CHECK (length(lost_on) = 10),
    lost_count INTEGER
        CONSTRAINT lost_count_check CHECK (lost_count BETWEEN 0 AND 1000000),
    lost_why TEXT,
    PRIMARY KEY (place),
    FOREIGN KEY(tank) REFERENCES tank (id)
)
 STRICT""",
    """CREATE TABLE chore (
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    id TEXT NOT NULL,
    kind TEXT NOT NULL,
    name TEXT NOT NULL,
    rhythm TEXT NOT NULL,
    tank TEXT,
    noun TEXT NOT NULL,
    first_due TEXT CONSTRAINT first_due_check CHECK (length(first_due) = 10),
    early_days INTEGER NOT NULL
        CONSTRAINT early_days_check CHECK (early_days BETWEEN 0 AND 366),
    late_days INTEGER NOT NULL
        CONSTRAINT late_days_check CHECK (late_days BETWEEN 0 AND 366),
    if_missed TEXT NOT NULL,
    minutes INTEGER CONSTRAINT minutes_check CHECK (minutes BETWEEN 0 AND 100000),
    who TEXT NOT NULL,
    tests TEXT NOT NULL,
    ready_before TEXT NOT NULL,
    caution TEXT NOT NULL,
    uses TEXT NOT NULL,
    valid_from TEXT CONSTRAINT valid_from_check CHECK (length(valid_from) = 10),
    ended_on TEXT CONSTRAINT ended_on_check CHECK (length(ended_on) = 10),
    earlier TEXT NOT NULL,
    has_amount INTEGER NOT NULL
        CONSTRAINT has_amount_check CHECK (has_amount IN (0, 1)),
    amount_value REAL
        CONSTRAINT amount_value_check
            CHECK (amount_value BETWEEN -1000000000.0 AND 1000000000.0),
    amount_unit TEXT,
    PRIMARY KEY (id),
    FOREIGN KEY(tank) REFERENCES tank (id)
)
 STRICT""",
    """CREATE TABLE entry (
    seq INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    id TEXT NOT NULL,
    at TEXT NOT NULL CONSTRAINT at_check CHECK (length(at) = 32),
    zone TEXT NOT NULL,
    day TEXT NOT NULL CONSTRAINT day_check CHECK (length(day) = 10),
    by_person TEXT,
    tank TEXT,
    fact TEXT,
    note TEXT NOT NULL,
    replaces TEXT,
    litres REAL CONSTRAINT litres_check CHECK (litres BETWEEN 0.0 AND 100000.0),
    added_l REAL CONSTRAINT added_l_check CHECK (added_l BETWEEN 0.0 AND 100000.0),
    left_l REAL CONSTRAINT left_l_check CHECK (left_l BETWEEN 0.0 AND 100000.0),
    fill_l REAL CONSTRAINT fill_l_check CHECK (fill_l BETWEEN 0.0 AND 100000.0),
    salinity REAL CONSTRAINT salinity_check CHECK (salinity BETWEEN 0.0 AND 100.0),
    temperature_c REAL
        CONSTRAINT temperature_c_check CHECK (temperature_c BETWEEN -60.0 AND 100.0),
    to_mark INTEGER CONSTRAINT to_mark_check CHECK (to_mark IN (0, 1)),
    estimated INTEGER CONSTRAINT estimated_check CHECK (estimated IN (0, 1)),
    grams REAL CONSTRAINT grams_check CHECK (grams BETWEEN 0.0 AND 10000000.0),
    substance TEXT,
    stock_add REAL
        CONSTRAINT stock_add_check CHECK (stock_add BETWEEN -1000000000.0 AND 1000000000.0),
    stock_count REAL
        CONSTRAINT stock_count_check CHECK (stock_count BETWEEN 0.0 AND 1000000000.0),
    chore TEXT,
    turn_key TEXT,
    turn_slot TEXT,
    other_day TEXT CONSTRAINT other_day_check CHECK (length(other_day) = 10),
    pause_mode TEXT,
    revokes TEXT,
    FOREIGN KEY(tank) REFERENCES tank (id),
    FOREIGN KEY(replaces) REFERENCES entry (id),
    FOREIGN KEY(chore) REFERENCES chore (id),
    FOREIGN KEY(revokes) REFERENCES entry (id)
)
 STRICT""",
    """CREATE INDEX entry_water ON entry (fact)
WHERE fact IN ('top_off', 'reservoir_check', 'water_change', 'readings')""",
    """CREATE INDEX entry_move ON entry (chore, day) WHERE fact IN ('skip', 'put_off', 'shift')""",
    """CREATE INDEX entry_day ON entry (day)""",
    """CREATE INDEX entry_chore ON entry (chore)""",
    """CREATE INDEX entry_undo ON entry (fact) WHERE fact = 'revoke'""",
    """CREATE INDEX entry_pause ON entry (fact) WHERE fact IN ('pause', 'resume')""",
    """CREATE UNIQUE INDEX entry_id ON entry (id)""",
    """CREATE INDEX entry_tank ON entry (tank)""",
    """CREATE INDEX entry_at ON entry (at)""",
    """CREATE TABLE reading (
    entry INTEGER NOT NULL,
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    parameter TEXT NOT NULL,
    value REAL NOT NULL
        CONSTRAINT value_check CHECK (value BETWEEN -1000000000.0 AND 1000000000.0),
    unit TEXT NOT NULL,
    typed REAL NOT NULL
        CONSTRAINT typed_check CHECK (typed BETWEEN -1000000000.0 AND 1000000000.0),
    sample_temperature_c REAL
        CONSTRAINT sample_temperature_c_check
            CHECK (sample_temperature_c BETWEEN -60.0 AND 100.0),
    PRIMARY KEY (entry, place),
    FOREIGN KEY(entry) REFERENCES entry (seq)
)
 WITHOUT ROWID,
 STRICT""",
    """CREATE TABLE completion (
    entry INTEGER NOT NULL,
    place INTEGER NOT NULL CONSTRAINT place_check CHECK (place BETWEEN 0 AND 1000000),
    chore TEXT NOT NULL,
    turn_key TEXT NOT NULL,
    slot TEXT,
    day TEXT NOT NULL CONSTRAINT day_check CHECK (length(day) = 10),
    PRIMARY KEY (entry, place),
    FOREIGN KEY(entry) REFERENCES entry (seq),
    FOREIGN KEY(chore) REFERENCES chore (id)
)
 WITHOUT ROWID,
 STRICT""",
    """CREATE INDEX completion_latest ON completion (chore, day DESC)""",
    """CREATE TABLE claim (
    chore TEXT NOT NULL,
    turn_key TEXT NOT NULL,
    slot TEXT NOT NULL,
    turn TEXT NOT NULL,
    entry INTEGER NOT NULL,
    PRIMARY KEY (chore, turn_key, slot),
    FOREIGN KEY(chore) REFERENCES chore (id),
    FOREIGN KEY(entry) REFERENCES entry (seq)
)
 WITHOUT ROWID,
 STRICT""",
    """CREATE INDEX claim_entry ON claim (entry)""",
    """CREATE INDEX claim_turn ON claim (turn)""",
    """CREATE TABLE void (
    entry INTEGER NOT NULL,
    by_entry INTEGER NOT NULL,
    PRIMARY KEY (entry, by_entry),
    FOREIGN KEY(entry) REFERENCES entry (seq),
    FOREIGN KEY(by_entry) REFERENCES entry (seq)
)
 WITHOUT ROWID,
 STRICT""",
    """CREATE INDEX void_by ON void (by_entry)""",
)


def upgrade() -> None:
    """Make all tables and indexes of the first schema."""
    for statement in STATEMENTS:
        op.execute(statement)
