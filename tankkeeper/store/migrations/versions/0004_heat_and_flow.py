"""Heaters, fans and the return of a tank, the free room of its sump; changes that move the loss."""

from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

TANK = """CREATE TABLE tank (
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
    sump_free_l REAL
        CONSTRAINT sump_free_l_check CHECK (sump_free_l BETWEEN 0.0 AND 100000.0),
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
    has_heat_and_flow INTEGER NOT NULL
        CONSTRAINT has_heat_and_flow_check CHECK (has_heat_and_flow IN (0, 1)),
    heat_and_flow_heater_w REAL
        CONSTRAINT heat_and_flow_heater_w_check
            CHECK (heat_and_flow_heater_w BETWEEN 0.0 AND 1000000.0),
    heat_and_flow_fans INTEGER
        CONSTRAINT heat_and_flow_fans_check CHECK (heat_and_flow_fans BETWEEN 0 AND 1000),
    heat_and_flow_return_l_per_h REAL
        CONSTRAINT heat_and_flow_return_l_per_h_check
            CHECK (heat_and_flow_return_l_per_h BETWEEN 0.0 AND 10000000.0),
    heat_and_flow_overflow_drop_cm REAL
        CONSTRAINT heat_and_flow_overflow_drop_cm_check
            CHECK (heat_and_flow_overflow_drop_cm BETWEEN 0.0 AND 10000.0),
    PRIMARY KEY (id),
    FOREIGN KEY(room) REFERENCES room (id)
)
 STRICT"""
INDEX = "CREATE INDEX entry_change ON entry (fact) WHERE fact = 'redefined'"


def upgrade() -> None:
    """Build the table of tanks anew, at its place in what refers to it, and index the changes."""
    columns = [row[1] for row in op.get_bind().exec_driver_sql("PRAGMA table_info(tank)")]
    names = ", ".join(columns)
    # So chores, animals and all else that names a tank go on to name the table of this name.
    op.execute("PRAGMA legacy_alter_table=ON")
    op.execute("ALTER TABLE tank RENAME TO tank_before")
    op.execute(TANK)
    op.execute(f"INSERT INTO tank ({names}, has_heat_and_flow) SELECT {names}, 0 FROM tank_before")
    op.execute("DROP TABLE tank_before")
    op.execute("PRAGMA legacy_alter_table=OFF")
    op.execute(INDEX)
