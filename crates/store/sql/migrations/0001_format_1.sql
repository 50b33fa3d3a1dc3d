-- Format 1. Tables are described in sql/tables.md; a test compares the two.

-- The record ------------------------------------------------------------------------------------------------

CREATE TABLE event (
    no INTEGER PRIMARY KEY,
    origin BLOB NOT NULL CHECK (length(origin) = 16),
    seq INTEGER NOT NULL CHECK (seq >= 1),
    kind TEXT NOT NULL CHECK (kind <> ''),
    kind_version INTEGER NOT NULL CHECK (kind_version >= 1),
    at_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL,
    at_precision TEXT NOT NULL CHECK (at_precision IN ('day', 'minute', 'second')),
    entered_ms INTEGER NOT NULL,
    entered_offset_min INTEGER NOT NULL,
    person_origin BLOB CHECK (length(person_origin) = 16),
    person_seq INTEGER CHECK ((person_seq IS NULL) = (person_origin IS NULL)),
    payload TEXT NOT NULL CHECK (json_valid(payload)),
    prev_hash BLOB NOT NULL CHECK (length(prev_hash) = 32),
    hash BLOB NOT NULL CHECK (length(hash) = 32),
    UNIQUE (origin, seq)
) STRICT;

CREATE INDEX event_order ON event (at_ms, origin, seq);
CREATE INDEX event_register ON event (entered_ms, origin, seq) WHERE kind = 'register_change';

CREATE TRIGGER event_no_update BEFORE UPDATE ON event
BEGIN SELECT RAISE(ABORT, 'an event is never changed: amend it with a new one'); END;
CREATE TRIGGER event_no_delete BEFORE DELETE ON event
BEGIN SELECT RAISE(ABORT, 'an event is never deleted'); END;

-- Not derived: what is not signed yet, and settings of this copy ---------------------------------------------

CREATE TABLE draft (
    id INTEGER PRIMARY KEY,
    kind TEXT NOT NULL,
    started_ms INTEGER NOT NULL,
    started_offset_min INTEGER NOT NULL,
    person INTEGER,
    caret TEXT NOT NULL,
    kept_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE draft_field (
    draft INTEGER NOT NULL REFERENCES draft (id) ON DELETE CASCADE,
    path TEXT NOT NULL CHECK (path <> ''),
    text TEXT NOT NULL,
    source TEXT NOT NULL CHECK (source IN ('typed', 'gauge', 'pasted', 'imported')),
    PRIMARY KEY (draft, path)
) STRICT;

CREATE TABLE draft_trace (
    draft INTEGER NOT NULL REFERENCES draft (id) ON DELETE CASCADE,
    at_ms INTEGER NOT NULL,
    person INTEGER NOT NULL,
    what TEXT NOT NULL
) STRICT;

-- Pictures and papers, by the SHA-256 of what is kept; the contents apart, for a backup has them in a folder.
CREATE TABLE attachment (
    hash TEXT PRIMARY KEY CHECK (length(hash) = 64),
    media TEXT NOT NULL CHECK (media IN ('image/jpeg', 'application/pdf', 'text/plain')),
    bytes INTEGER NOT NULL CHECK (bytes >= 0),
    thumbnail BLOB
) STRICT;

CREATE TABLE attachment_content (
    hash TEXT PRIMARY KEY REFERENCES attachment (hash),
    content BLOB NOT NULL
) STRICT;

CREATE TABLE setting (
    name TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT;

-- Derived: a total function of the events, dropped and rebuilt when its version differs -----------------------

CREATE TABLE state (
    name TEXT PRIMARY KEY,
    value INTEGER NOT NULL
) STRICT;

CREATE TABLE thing (
    no INTEGER PRIMARY KEY REFERENCES event (no),
    entity TEXT NOT NULL,
    code TEXT NOT NULL,
    version INTEGER NOT NULL REFERENCES event (no)
) STRICT;
CREATE INDEX thing_code ON thing (entity, code);

CREATE TABLE thing_event (
    thing INTEGER NOT NULL REFERENCES thing (no),
    event INTEGER NOT NULL REFERENCES event (no),
    PRIMARY KEY (thing, event)
) STRICT, WITHOUT ROWID;

CREATE TABLE person (
    no INTEGER PRIMARY KEY REFERENCES thing (no),
    name TEXT NOT NULL,
    role TEXT NOT NULL,
    pin_hash TEXT NOT NULL,
    is_active INTEGER NOT NULL CHECK (is_active IN (0, 1))
) STRICT;

CREATE TABLE line (
    no INTEGER PRIMARY KEY REFERENCES thing (no),
    code TEXT NOT NULL,
    name TEXT NOT NULL
) STRICT;

CREATE TABLE stand (
    no INTEGER PRIMARY KEY REFERENCES thing (no),
    code TEXT NOT NULL,
    line INTEGER NOT NULL REFERENCES thing (no),
    build TEXT NOT NULL
) STRICT;

CREATE TABLE position (
    no INTEGER PRIMARY KEY REFERENCES thing (no),
    code TEXT NOT NULL,
    stand INTEGER NOT NULL REFERENCES thing (no),
    role TEXT NOT NULL,
    level TEXT NOT NULL,
    side TEXT NOT NULL,
    is_fixed INTEGER NOT NULL CHECK (is_fixed IN (0, 1)),
    load_angle_ddeg INTEGER NOT NULL CHECK (load_angle_ddeg BETWEEN 0 AND 3599),
    is_rolling_bearing INTEGER NOT NULL CHECK (is_rolling_bearing IN (0, 1))
) STRICT;

CREATE TABLE roll (
    no INTEGER PRIMARY KEY REFERENCES thing (no),
    code TEXT NOT NULL,
    line INTEGER NOT NULL REFERENCES thing (no),
    role TEXT NOT NULL
) STRICT;

CREATE TABLE chock_type (
    no INTEGER PRIMARY KEY REFERENCES thing (no),
    code TEXT NOT NULL,
    shim_place TEXT NOT NULL CHECK (shim_place IN ('under_flange', 'between')),
    bore_planes INTEGER NOT NULL CHECK (bore_planes BETWEEN 2 AND 4),
    fits TEXT NOT NULL
) STRICT;

CREATE TABLE chock_seat (
    chock_type INTEGER NOT NULL REFERENCES thing (no),
    name TEXT NOT NULL CHECK (name IN ('main', 'main2', 'thrust')),
    bearing_type INTEGER NOT NULL REFERENCES thing (no),
    PRIMARY KEY (chock_type, name)
) STRICT;

CREATE TABLE chock (
    no INTEGER PRIMARY KEY REFERENCES thing (no),
    code TEXT NOT NULL,
    chock_type INTEGER NOT NULL REFERENCES thing (no)
) STRICT;

CREATE TABLE bearing_type (
    no INTEGER PRIMARY KEY REFERENCES thing (no),
    code TEXT NOT NULL,
    kind TEXT NOT NULL,
    lubrication TEXT NOT NULL
) STRICT;

CREATE TABLE type_value (
    bearing_type INTEGER NOT NULL REFERENCES thing (no),
    version INTEGER NOT NULL REFERENCES event (no),
    valid_from_ms INTEGER NOT NULL,
    name TEXT NOT NULL,
    item INTEGER NOT NULL CHECK (item BETWEEN 0 AND 9),
    value INTEGER NOT NULL,
    PRIMARY KEY (bearing_type, version, name, item)
) STRICT;

CREATE TABLE bearing (
    no INTEGER PRIMARY KEY REFERENCES thing (no),
    serial TEXT NOT NULL,
    bearing_type INTEGER NOT NULL REFERENCES thing (no),
    prior_run_s INTEGER NOT NULL CHECK (prior_run_s >= 0),
    prior_note TEXT NOT NULL
) STRICT;

CREATE TABLE gauge (
    no INTEGER PRIMARY KEY REFERENCES thing (no),
    code TEXT NOT NULL,
    kind TEXT NOT NULL,
    measures TEXT NOT NULL,
    span TEXT NOT NULL,
    resolution INTEGER NOT NULL CHECK (resolution >= 0),
    standard TEXT NOT NULL
) STRICT;

CREATE TABLE calibration (
    gauge INTEGER NOT NULL REFERENCES thing (no),
    event INTEGER NOT NULL REFERENCES event (no),
    at_ms INTEGER NOT NULL,
    certificate TEXT NOT NULL,
    due_ms INTEGER NOT NULL,
    expanded_uncertainty INTEGER,
    PRIMARY KEY (gauge, event)
) STRICT;

-- A gauge was found to read wrongly.
CREATE TABLE gauge_fault (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    gauge INTEGER NOT NULL REFERENCES thing (no),
    at_ms INTEGER NOT NULL,
    error INTEGER NOT NULL,
    what TEXT NOT NULL
) STRICT;
CREATE INDEX gauge_fault_gauge ON gauge_fault (gauge, at_ms);

CREATE TABLE seal_batch (
    no INTEGER PRIMARY KEY REFERENCES thing (no),
    code TEXT NOT NULL,
    name TEXT NOT NULL
) STRICT;

CREATE TABLE grease (
    no INTEGER PRIMARY KEY REFERENCES thing (no),
    code TEXT NOT NULL,
    name TEXT NOT NULL
) STRICT;

-- Where a thing is now, apart from a bearing in a chock (see stay).
CREATE TABLE place (
    thing INTEGER PRIMARY KEY REFERENCES thing (no),
    place TEXT NOT NULL CHECK (place IN ('stores', 'shop', 'mill', 'away', 'unknown', 'scrapped')),
    position INTEGER REFERENCES thing (no),
    roll INTEGER REFERENCES thing (no),
    since_event INTEGER NOT NULL REFERENCES event (no),
    note TEXT NOT NULL
) STRICT;

-- Every place that a thing has been in, one after the other. What is not known of it has no row.
CREATE TABLE whereabouts (
    thing INTEGER NOT NULL REFERENCES thing (no),
    event INTEGER NOT NULL REFERENCES event (no),
    from_ms INTEGER NOT NULL,
    to_ms INTEGER,
    place TEXT NOT NULL,
    position INTEGER REFERENCES thing (no),
    roll INTEGER REFERENCES thing (no),
    note TEXT NOT NULL,
    PRIMARY KEY (thing, event)
) STRICT, WITHOUT ROWID;

CREATE TABLE hold (
    thing INTEGER NOT NULL REFERENCES thing (no),
    event INTEGER NOT NULL REFERENCES event (no),
    reason TEXT NOT NULL,
    released_event INTEGER REFERENCES event (no),
    PRIMARY KEY (thing, event)
) STRICT;

-- A bearing in a seat of a chock, with the load zone that is up.
CREATE TABLE stay (
    no INTEGER PRIMARY KEY REFERENCES event (no),
    bearing INTEGER NOT NULL REFERENCES thing (no),
    chock INTEGER NOT NULL REFERENCES thing (no),
    seat TEXT NOT NULL,
    zone INTEGER NOT NULL CHECK (zone BETWEEN 0 AND 4),
    from_ms INTEGER NOT NULL,
    to_event INTEGER REFERENCES event (no),
    to_ms INTEGER,
    run_s INTEGER NOT NULL,
    rolled_kg INTEGER NOT NULL,
    campaigns INTEGER NOT NULL,
    has_estimate INTEGER NOT NULL CHECK (has_estimate IN (0, 1)),
    CHECK ((to_event IS NULL) = (to_ms IS NULL))
) STRICT;
CREATE INDEX stay_bearing ON stay (bearing, from_ms);
CREATE INDEX stay_chock ON stay (chock, from_ms);

-- What the record had elsewhere than where it was found.
CREATE TABLE lost (
    event INTEGER NOT NULL REFERENCES event (no),
    thing INTEGER NOT NULL REFERENCES thing (no),
    place TEXT NOT NULL,
    at_thing INTEGER REFERENCES thing (no),
    since_ms INTEGER NOT NULL,
    PRIMARY KEY (event, thing)
) STRICT, WITHOUT ROWID;

-- Two halves of a cylindrical bearing that go together.
CREATE TABLE pair (
    no INTEGER PRIMARY KEY REFERENCES event (no),
    outer_half INTEGER NOT NULL REFERENCES thing (no),
    inner_half INTEGER NOT NULL REFERENCES thing (no),
    to_event INTEGER REFERENCES event (no)
) STRICT;
CREATE INDEX pair_outer ON pair (outer_half);
CREATE INDEX pair_inner ON pair (inner_half);

-- One chock in one campaign.
CREATE TABLE run (
    campaign INTEGER NOT NULL REFERENCES event (no),
    chock INTEGER NOT NULL REFERENCES thing (no),
    position INTEGER NOT NULL REFERENCES thing (no),
    roll INTEGER NOT NULL REFERENCES thing (no),
    from_ms INTEGER NOT NULL,
    to_ms INTEGER NOT NULL,
    run_s INTEGER NOT NULL CHECK (run_s >= 0),
    rolled_kg INTEGER NOT NULL CHECK (rolled_kg >= 0),
    is_estimate INTEGER NOT NULL CHECK (is_estimate IN (0, 1)),
    radial_n INTEGER,
    axial_n INTEGER,
    speed_mrpm INTEGER,
    PRIMARY KEY (chock, from_ms, campaign),
    CHECK (to_ms >= from_ms)
) STRICT, WITHOUT ROWID;
CREATE INDEX run_roll ON run (roll, from_ms) WHERE is_estimate = 0;
CREATE INDEX run_position ON run (position, from_ms) WHERE is_estimate = 0;

CREATE TABLE baseline (
    bearing INTEGER NOT NULL REFERENCES thing (no),
    event INTEGER NOT NULL REFERENCES event (no),
    at_ms INTEGER NOT NULL,
    revision INTEGER NOT NULL CHECK (revision >= 1),
    pair INTEGER NOT NULL CHECK (pair BETWEEN 1 AND 3),
    value_nm INTEGER NOT NULL,
    PRIMARY KEY (bearing, event, pair)
) STRICT;

CREATE TABLE sheet (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    kind TEXT NOT NULL,
    bearing INTEGER REFERENCES thing (no),
    chock INTEGER REFERENCES thing (no),
    roll INTEGER REFERENCES thing (no),
    position INTEGER REFERENCES thing (no),
    stay INTEGER REFERENCES stay (no),
    recommended TEXT NOT NULL,
    decided TEXT NOT NULL,
    zone INTEGER CHECK (zone BETWEEN 0 AND 4),
    side TEXT
) STRICT;
CREATE INDEX sheet_bearing ON sheet (bearing);
CREATE INDEX sheet_chock ON sheet (chock);

-- A sheet was opened again, or a second person stands for it.
CREATE TABLE sheet_mark (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    sheet INTEGER NOT NULL REFERENCES event (no),
    what TEXT NOT NULL CHECK (what IN ('reopened', 'countersigned'))
) STRICT;
CREATE INDEX sheet_mark_sheet ON sheet_mark (sheet);

CREATE TABLE reading (
    event INTEGER NOT NULL REFERENCES event (no),
    path TEXT NOT NULL,
    text TEXT NOT NULL,
    unit TEXT NOT NULL,
    value INTEGER NOT NULL,
    source TEXT NOT NULL,
    gauge INTEGER REFERENCES thing (no),
    is_gauge_overdue INTEGER NOT NULL CHECK (is_gauge_overdue IN (0, 1)),
    PRIMARY KEY (event, path)
) STRICT;
CREATE INDEX reading_gauge ON reading (gauge);

CREATE TABLE outcome (
    event INTEGER NOT NULL REFERENCES event (no),
    name TEXT NOT NULL,
    item INTEGER NOT NULL,
    value INTEGER NOT NULL,
    PRIMARY KEY (event, name, item)
) STRICT;

CREATE TABLE verdict (
    event INTEGER NOT NULL REFERENCES event (no),
    about TEXT NOT NULL,
    item INTEGER NOT NULL,
    verdict TEXT NOT NULL
        CHECK (verdict IN ('pass', 'pass_in_doubt', 'fail_in_doubt', 'fail', 'missing', 'not_applicable')),
    value_nm INTEGER,
    expanded_uncertainty_nm INTEGER,
    lower_nm INTEGER,
    upper_nm INTEGER,
    probability_ppm INTEGER CHECK (probability_ppm BETWEEN 0 AND 1000000),
    PRIMARY KEY (event, about, item)
) STRICT;

-- Readings of chocks at work.
CREATE TABLE condition (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    chock INTEGER NOT NULL REFERENCES thing (no),
    what TEXT NOT NULL,
    value INTEGER
) STRICT;

-- Chocks that are to be torn down before they are due.
CREATE TABLE early_teardown (
    event INTEGER NOT NULL REFERENCES event (no),
    chock INTEGER NOT NULL REFERENCES thing (no),
    at_ms INTEGER NOT NULL,
    why TEXT NOT NULL,
    PRIMARY KEY (event, chock)
) STRICT;

-- Chocks that may run on past their interval.
CREATE TABLE extension (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    chock INTEGER NOT NULL REFERENCES thing (no),
    at_ms INTEGER NOT NULL,
    until_ms INTEGER NOT NULL,
    reason TEXT NOT NULL
) STRICT;

-- When chocks are to be torn down, and why not now.
CREATE TABLE teardown_plan (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    chock INTEGER NOT NULL REFERENCES thing (no),
    at_ms INTEGER NOT NULL,
    planned_ms INTEGER,
    reason TEXT NOT NULL
) STRICT;

-- Seal batches and greases that are not to be used any more.
CREATE TABLE blocked (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    thing INTEGER NOT NULL REFERENCES thing (no),
    at_ms INTEGER NOT NULL,
    reason TEXT NOT NULL
) STRICT;

CREATE TABLE cost (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    thing INTEGER NOT NULL REFERENCES thing (no),
    amount_minor INTEGER NOT NULL,
    what TEXT NOT NULL
) STRICT;

CREATE TABLE finding (
    event INTEGER NOT NULL REFERENCES event (no),
    item INTEGER NOT NULL,
    part TEXT NOT NULL,
    row INTEGER,
    mode TEXT NOT NULL,
    severity INTEGER NOT NULL,
    from_ddeg INTEGER,
    to_ddeg INTEGER,
    size_nm INTEGER,
    note TEXT NOT NULL,
    PRIMARY KEY (event, item)
) STRICT;

-- Pictures and papers of things and sheets.
CREATE TABLE document (
    event INTEGER NOT NULL REFERENCES event (no),
    item INTEGER NOT NULL,
    thing INTEGER REFERENCES thing (no),
    finding INTEGER NOT NULL,
    what TEXT NOT NULL,
    hash TEXT NOT NULL,
    name TEXT NOT NULL,
    media TEXT NOT NULL,
    bytes INTEGER NOT NULL,
    note TEXT NOT NULL,
    PRIMARY KEY (event, item)
) STRICT;
CREATE INDEX document_thing ON document (thing);

-- Amended events: what counts instead of what was written; nothing where it was withdrawn.
CREATE TABLE effective (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    payload TEXT CHECK (json_valid(payload)),
    amendment INTEGER NOT NULL REFERENCES event (no)
) STRICT;

-- Every place that was amended.
CREATE TABLE amended (
    amendment INTEGER NOT NULL REFERENCES event (no),
    item INTEGER NOT NULL,
    event INTEGER NOT NULL REFERENCES event (no),
    path TEXT NOT NULL,
    old TEXT NOT NULL,
    new TEXT NOT NULL,
    reason TEXT NOT NULL,
    is_consequence INTEGER NOT NULL CHECK (is_consequence IN (0, 1)),
    PRIMARY KEY (amendment, item)
) STRICT;
CREATE INDEX amended_event ON amended (event);

CREATE TABLE conflict (
    event INTEGER NOT NULL REFERENCES event (no),
    what TEXT NOT NULL,
    resolved_event INTEGER REFERENCES event (no)
) STRICT;
CREATE INDEX conflict_event ON conflict (event);

-- Entries of the register that are one thing: two copies registered it, each for itself.
CREATE TABLE joined (
    thing INTEGER PRIMARY KEY REFERENCES event (no),
    kept INTEGER NOT NULL REFERENCES event (no),
    event INTEGER NOT NULL REFERENCES event (no),
    CHECK (thing <> kept)
) STRICT;
