-- A logbook of format 1 as its tables and events: made by the program that released the format, never made anew.
-- The derived tables are left empty, as of an older version of the derivation: whoever opens it derives them.
PRAGMA application_id = 1128809035;
PRAGMA user_version = 1000;
BEGIN;
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
CREATE TABLE gauge_fault (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    gauge INTEGER NOT NULL REFERENCES thing (no),
    at_ms INTEGER NOT NULL,
    error INTEGER NOT NULL,
    what TEXT NOT NULL
) STRICT;
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
CREATE TABLE place (
    thing INTEGER PRIMARY KEY REFERENCES thing (no),
    place TEXT NOT NULL CHECK (place IN ('stores', 'shop', 'mill', 'away', 'unknown', 'scrapped')),
    position INTEGER REFERENCES thing (no),
    roll INTEGER REFERENCES thing (no),
    since_event INTEGER NOT NULL REFERENCES event (no),
    note TEXT NOT NULL
) STRICT;
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
CREATE TABLE lost (
    event INTEGER NOT NULL REFERENCES event (no),
    thing INTEGER NOT NULL REFERENCES thing (no),
    place TEXT NOT NULL,
    at_thing INTEGER REFERENCES thing (no),
    since_ms INTEGER NOT NULL,
    PRIMARY KEY (event, thing)
) STRICT, WITHOUT ROWID;
CREATE TABLE pair (
    no INTEGER PRIMARY KEY REFERENCES event (no),
    outer_half INTEGER NOT NULL REFERENCES thing (no),
    inner_half INTEGER NOT NULL REFERENCES thing (no),
    to_event INTEGER REFERENCES event (no)
) STRICT;
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
CREATE TABLE sheet_mark (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    sheet INTEGER NOT NULL REFERENCES event (no),
    what TEXT NOT NULL CHECK (what IN ('reopened', 'countersigned'))
) STRICT;
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
CREATE TABLE condition (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    chock INTEGER NOT NULL REFERENCES thing (no),
    what TEXT NOT NULL,
    value INTEGER
) STRICT;
CREATE TABLE early_teardown (
    event INTEGER NOT NULL REFERENCES event (no),
    chock INTEGER NOT NULL REFERENCES thing (no),
    at_ms INTEGER NOT NULL,
    why TEXT NOT NULL,
    PRIMARY KEY (event, chock)
) STRICT;
CREATE TABLE extension (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    chock INTEGER NOT NULL REFERENCES thing (no),
    at_ms INTEGER NOT NULL,
    until_ms INTEGER NOT NULL,
    reason TEXT NOT NULL
) STRICT;
CREATE TABLE teardown_plan (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    chock INTEGER NOT NULL REFERENCES thing (no),
    at_ms INTEGER NOT NULL,
    planned_ms INTEGER,
    reason TEXT NOT NULL
) STRICT;
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
CREATE TABLE effective (
    event INTEGER PRIMARY KEY REFERENCES event (no),
    payload TEXT CHECK (json_valid(payload)),
    amendment INTEGER NOT NULL REFERENCES event (no)
) STRICT;
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
CREATE TABLE conflict (
    event INTEGER NOT NULL REFERENCES event (no),
    what TEXT NOT NULL,
    resolved_event INTEGER REFERENCES event (no)
) STRICT;
CREATE TABLE joined (
    thing INTEGER PRIMARY KEY REFERENCES event (no),
    kept INTEGER NOT NULL REFERENCES event (no),
    event INTEGER NOT NULL REFERENCES event (no),
    CHECK (thing <> kept)
) STRICT;
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (1, X'e221d99b45e66b975a575e95ad2c1a9f', 1, 'logbook_started', 1, 1795688120784, 0, 'second', 1795688120784, 0, NULL, NULL, '{"kind":"logbook_started","plant":"Tarnhollow Rolling Works","program":"Chockbook 0.1.0","previous":null,"kind_version":1}', X'0000000000000000000000000000000000000000000000000000000000000000', X'0a78e8460d0425dc073847648adc3fe9fdf72ce1a1d6a562d0223b78181fe414');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (2, X'e221d99b45e66b975a575e95ad2c1a9f', 2, 'register_change', 1, 1795688120864, 0, 'second', 1795688120864, 0, NULL, NULL, '{"kind":"register_change","thing":null,"record":{"entity":"person","name":"Roll-shop Engineer","role":"engineer","pin_hash":"$argon2id$v=19$m=19456,t=2,p=1$FDmTqHhCcTXlTU5n47W3JQ$ES3MrRkZUIM88/j6DOUuRVCg7ZvfZPhWVtMRaSyxpKw","is_active":true},"reason":"","kind_version":1}', X'0a78e8460d0425dc073847648adc3fe9fdf72ce1a1d6a562d0223b78181fe414', X'ce251e88eaba5c80333444551a138b9668325c81259d14ec58443f31fac13838');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (3, X'e221d99b45e66b975a575e95ad2c1a9f', 3, 'register_change', 1, 1795688121025, 0, 'second', 1795688121102, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"person","name":"Foreman A","role":"foreman","pin_hash":"$argon2id$v=19$m=19456,t=2,p=1$X/ee7fvl0t2JoeUr1tqv3g$QahpUn75udWtT02a3THzVvHbfNetMoOsctAjiAbGFvY","is_active":true},"reason":"","kind_version":1}', X'ce251e88eaba5c80333444551a138b9668325c81259d14ec58443f31fac13838', X'68122cbc77fcbbc6028ae628acfb1784be7f8bdb15344f1a846e37be966bb59c');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (4, X'e221d99b45e66b975a575e95ad2c1a9f', 4, 'register_change', 1, 1795688121120, 0, 'second', 1795688121198, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"person","name":"Storekeeper","role":"storekeeper","pin_hash":"$argon2id$v=19$m=19456,t=2,p=1$7GGqdXUbfPrXJik7cZfoyw$yacpmmZVRvvmgBHefi2yA7C2Ywc//zuC5QY5uCkWEUU","is_active":true},"reason":"","kind_version":1}', X'68122cbc77fcbbc6028ae628acfb1784be7f8bdb15344f1a846e37be966bb59c', X'2e05ac0aef665311fb7f9659d27dad5167bf2b0588eabbe7ff8935f426ec3d07');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (5, X'e221d99b45e66b975a575e95ad2c1a9f', 5, 'register_change', 1, 1795688121200, 0, 'second', 1795688121266, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"person","name":"Fitter 1","role":"fitter","pin_hash":"$argon2id$v=19$m=19456,t=2,p=1$UCMs1++DKp1XK+lkMA0cwQ$ziw2gY5/H7DkzLDrjkfCojZ+14TcesiwgoglKOryJnQ","is_active":true},"reason":"","kind_version":1}', X'2e05ac0aef665311fb7f9659d27dad5167bf2b0588eabbe7ff8935f426ec3d07', X'75f9e6a9859b9d53b5ff2ab481c790328e7ed0118b104014b6267f242f012d2c');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (6, X'e221d99b45e66b975a575e95ad2c1a9f', 6, 'register_change', 1, 1795688121273, 0, 'second', 1795688121273, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"line","code":"FT","name":"hot strip finishing train"},"reason":"","kind_version":1}', X'75f9e6a9859b9d53b5ff2ab481c790328e7ed0118b104014b6267f242f012d2c', X'48b3ad9366ffd5546b3e78442f4266c989e143503d4cf59d861230cc4db7402e');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (7, X'e221d99b45e66b975a575e95ad2c1a9f', 7, 'register_change', 1, 1795688121288, 0, 'second', 1795688121288, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"stand","code":"F2","line":6,"build":"four-high"},"reason":"","kind_version":1}', X'48b3ad9366ffd5546b3e78442f4266c989e143503d4cf59d861230cc4db7402e', X'1fa2a2c3536190178ba7f98ecc7645acf49ff002fd12971da5b11e902741f584');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (8, X'e221d99b45e66b975a575e95ad2c1a9f', 8, 'register_change', 1, 1795688121293, 0, 'second', 1795688121293, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"position","code":"F2-W-T-O","stand":7,"role":"W","level":"T","side":"O","is_fixed":true,"load_angle_ddeg":0,"is_rolling_bearing":true},"reason":"","kind_version":1}', X'1fa2a2c3536190178ba7f98ecc7645acf49ff002fd12971da5b11e902741f584', X'4ffd8337bc2f657147c79384201dd448a4be57125345b52c37017b9a31267ca4');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (9, X'e221d99b45e66b975a575e95ad2c1a9f', 9, 'register_change', 1, 1795688121296, 0, 'second', 1795688121296, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"position","code":"F2-W-T-D","stand":7,"role":"W","level":"T","side":"D","is_fixed":false,"load_angle_ddeg":0,"is_rolling_bearing":true},"reason":"","kind_version":1}', X'4ffd8337bc2f657147c79384201dd448a4be57125345b52c37017b9a31267ca4', X'fa3e0560b42d70ad3dd051cce48993d395f3b279442a6764724dca57d1cbe2fe');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (10, X'e221d99b45e66b975a575e95ad2c1a9f', 10, 'register_change', 1, 1795688121300, 0, 'second', 1795688121300, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"position","code":"F2-K-T-O","stand":7,"role":"K","level":"T","side":"O","is_fixed":true,"load_angle_ddeg":0,"is_rolling_bearing":true},"reason":"","kind_version":1}', X'fa3e0560b42d70ad3dd051cce48993d395f3b279442a6764724dca57d1cbe2fe', X'66884ddfebd3358eec57d054bd76076e1b6eb4d723636052fcf41bfc321091e3');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (11, X'e221d99b45e66b975a575e95ad2c1a9f', 11, 'register_change', 1, 1795688121301, 0, 'second', 1795688121302, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"position","code":"F2-K-T-D","stand":7,"role":"K","level":"T","side":"D","is_fixed":false,"load_angle_ddeg":0,"is_rolling_bearing":true},"reason":"","kind_version":1}', X'66884ddfebd3358eec57d054bd76076e1b6eb4d723636052fcf41bfc321091e3', X'3f42f813b408733b28bc786af59aabf74bdbd241979a1d11890695b29cbe10ff');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (12, X'e221d99b45e66b975a575e95ad2c1a9f', 12, 'register_change', 1, 1795688121308, 0, 'second', 1795688121308, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"position","code":"F2-R-T-O","stand":7,"role":"R","level":"T","side":"O","is_fixed":true,"load_angle_ddeg":0,"is_rolling_bearing":true},"reason":"","kind_version":1}', X'3f42f813b408733b28bc786af59aabf74bdbd241979a1d11890695b29cbe10ff', X'bfaed62e927c5476d5a487fa5aefa1d9953ed67706f6f7ef5b0830873ba8c7d3');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (13, X'e221d99b45e66b975a575e95ad2c1a9f', 13, 'register_change', 1, 1795688121316, 0, 'second', 1795688121316, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"position","code":"F2-R-T-D","stand":7,"role":"R","level":"T","side":"D","is_fixed":false,"load_angle_ddeg":0,"is_rolling_bearing":true},"reason":"","kind_version":1}', X'bfaed62e927c5476d5a487fa5aefa1d9953ed67706f6f7ef5b0830873ba8c7d3', X'9e236c46c0e20e1504c4b80924754be5010faf322ac9cdd52aab17f5711539d2');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (14, X'e221d99b45e66b975a575e95ad2c1a9f', 14, 'register_change', 1, 1795688121328, 0, 'second', 1795688121328, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"roll","code":"R-101","line":6,"role":"W"},"reason":"","kind_version":1}', X'9e236c46c0e20e1504c4b80924754be5010faf322ac9cdd52aab17f5711539d2', X'593b93a8e3541b933322eb39872433bbc82c7d052616f1b861a769375b5f79fa');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (15, X'e221d99b45e66b975a575e95ad2c1a9f', 15, 'register_change', 1, 1795688121332, 0, 'second', 1795688121332, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"roll","code":"K-07","line":6,"role":"K"},"reason":"","kind_version":1}', X'593b93a8e3541b933322eb39872433bbc82c7d052616f1b861a769375b5f79fa', X'13c8feef796d180067b7c7ef8bc1423723c658f3cdc9e03984c06bd1fb5b6a79');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (16, X'e221d99b45e66b975a575e95ad2c1a9f', 16, 'register_change', 1, 1795688121335, 0, 'second', 1795688121335, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"roll","code":"BR-01","line":6,"role":"R"},"reason":"","kind_version":1}', X'13c8feef796d180067b7c7ef8bc1423723c658f3cdc9e03984c06bd1fb5b6a79', X'906fdcb10777b393d5cfe1da60629b4f20177f2863b769f26d72c2062e5530ce');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (17, X'e221d99b45e66b975a575e95ad2c1a9f', 17, 'register_change', 1, 1795688121338, 0, 'second', 1795688121338, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"bearing_type","code":"N4T-480/620-336","kind":"four_row_tapered","values":[{"name":"bore_nm","item":0,"value":480000000},{"name":"outside_nm","item":0,"value":620000000},{"name":"width_nm","item":0,"value":336000000},{"name":"clearance_min_nm","item":1,"value":270000},{"name":"clearance_min_nm","item":2,"value":270000},{"name":"clearance_min_nm","item":3,"value":270000},{"name":"clearance_max_nm","item":1,"value":330000},{"name":"clearance_max_nm","item":2,"value":330000},{"name":"clearance_max_nm","item":3,"value":330000},{"name":"watch_nm","item":1,"value":450000},{"name":"watch_nm","item":2,"value":450000},{"name":"watch_nm","item":3,"value":450000},{"name":"rework_nm","item":1,"value":600000},{"name":"rework_nm","item":2,"value":600000},{"name":"rework_nm","item":3,"value":600000},{"name":"target_min_nm","item":1,"value":270000},{"name":"target_min_nm","item":2,"value":270000},{"name":"target_min_nm","item":3,"value":270000},{"name":"target_max_nm","item":1,"value":330000},{"name":"target_max_nm","item":2,"value":330000},{"name":"target_max_nm","item":3,"value":330000},{"name":"spacer_nm","item":1,"value":24000000},{"name":"spacer_nm","item":2,"value":30000000},{"name":"spacer_nm","item":3,"value":24000000},{"name":"spacer_min_nm","item":1,"value":21000000},{"name":"spacer_min_nm","item":2,"value":27000000},{"name":"spacer_min_nm","item":3,"value":21000000},{"name":"grind_step_nm","item":0,"value":10000},{"name":"neck_min_nm","item":0,"value":479700000},{"name":"neck_max_nm","item":0,"value":479760000},{"name":"neck_rework_nm","item":0,"value":479660000},{"name":"ring_bore_lower_nm","item":0,"value":-45000},{"name":"ring_bore_upper_nm","item":0,"value":0},{"name":"chock_bore_nominal_nm","item":0,"value":620000000},{"name":"chock_bore_lower_nm","item":0,"value":0},{"name":"chock_bore_mean_max_nm","item":0,"value":120000},{"name":"chock_ovality_max_nm","item":0,"value":120000},{"name":"chock_taper_max_nm","item":0,"value":60000},{"name":"interval_run_s","item":0,"value":3600000},{"name":"grease_row_mg","item":0,"value":850000}],"lubrication":"grease G-1 as approved, scheme LS-480 of 2023"},"reason":"","kind_version":1}', X'906fdcb10777b393d5cfe1da60629b4f20177f2863b769f26d72c2062e5530ce', X'eeefc77ded1fcd110cbbf63f92b43584cc529dd168b08166a04d8d83c81d57ba');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (18, X'e221d99b45e66b975a575e95ad2c1a9f', 18, 'register_change', 1, 1795688121344, 0, 'second', 1795688121344, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"bearing_type","code":"N4C-760/1080-790","kind":"four_row_cylindrical","values":[{"name":"bore_nm","item":0,"value":760000000},{"name":"outside_nm","item":0,"value":1080000000},{"name":"rows_count","item":0,"value":4},{"name":"clearance_min_nm","item":0,"value":360000},{"name":"clearance_max_nm","item":0,"value":460000},{"name":"watch_nm","item":0,"value":600000},{"name":"rework_nm","item":0,"value":750000},{"name":"ring_bore_lower_nm","item":0,"value":-75000},{"name":"ring_bore_upper_nm","item":0,"value":0},{"name":"neck_min_nm","item":0,"value":760310000},{"name":"neck_max_nm","item":0,"value":760390000},{"name":"neck_rework_nm","item":0,"value":760280000}],"lubrication":""},"reason":"","kind_version":1}', X'eeefc77ded1fcd110cbbf63f92b43584cc529dd168b08166a04d8d83c81d57ba', X'0f00678912850990ea1467f541f51d4fdb1b8a9bfec148bf5431eb37f133dd57');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (19, X'e221d99b45e66b975a575e95ad2c1a9f', 19, 'register_change', 1, 1795688121353, 0, 'second', 1795688121354, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"bearing_type","code":"N4C-760/1080-790 inner half","kind":"four_row_cylindrical_inner","values":[{"name":"bore_nm","item":0,"value":760000000}],"lubrication":""},"reason":"","kind_version":1}', X'0f00678912850990ea1467f541f51d4fdb1b8a9bfec148bf5431eb37f133dd57', X'ddca40a22efff8165db8a90d72e8bbe4734fcd3330ee33f53b4f6890a44fbfaa');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (20, X'e221d99b45e66b975a575e95ad2c1a9f', 20, 'register_change', 1, 1795688121372, 0, 'second', 1795688121372, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"bearing_type","code":"N2X-600/800-140","kind":"two_row_thrust","values":[{"name":"bore_nm","item":0,"value":600000000},{"name":"outside_nm","item":0,"value":800000000},{"name":"clearance_nominal_nm","item":0,"value":400000},{"name":"watch_nm","item":0,"value":700000},{"name":"rework_nm","item":0,"value":900000}],"lubrication":""},"reason":"","kind_version":1}', X'ddca40a22efff8165db8a90d72e8bbe4734fcd3330ee33f53b4f6890a44fbfaa', X'bc10e57663225b6d84ae5471855b405214c661d27cbfcd37e54515d25701ae72');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (21, X'e221d99b45e66b975a575e95ad2c1a9f', 21, 'register_change', 1, 1795688121384, 0, 'second', 1795688121384, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"bearing_type","code":"N2S-180/300-96","kind":"two_row_spherical","values":[{"name":"bore_nm","item":0,"value":180000000},{"name":"outside_nm","item":0,"value":300000000},{"name":"rows_count","item":0,"value":2},{"name":"clearance_min_nm","item":0,"value":140000},{"name":"clearance_max_nm","item":0,"value":190000},{"name":"watch_nm","item":0,"value":260000},{"name":"rework_nm","item":0,"value":340000}],"lubrication":""},"reason":"","kind_version":1}', X'bc10e57663225b6d84ae5471855b405214c661d27cbfcd37e54515d25701ae72', X'6a58c8a7b4629ae28a7699679dd505c58a624b0bdbc3fd0bac06e9d9899fca1a');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (22, X'e221d99b45e66b975a575e95ad2c1a9f', 22, 'register_change', 1, 1795688121391, 0, 'second', 1795688121391, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"chock_type","code":"WC top O","seats":[{"name":"main","bearing_type":17}],"shim_place":"under_flange","bore_planes":3,"fits":["W-T-O"]},"reason":"","kind_version":1}', X'6a58c8a7b4629ae28a7699679dd505c58a624b0bdbc3fd0bac06e9d9899fca1a', X'dc16b5d89768b0fd8c15da06acfdcde45c170345bc098465422379e9ef38653a');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (23, X'e221d99b45e66b975a575e95ad2c1a9f', 23, 'register_change', 1, 1795688121400, 0, 'second', 1795688121400, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"chock_type","code":"KC top D","seats":[{"name":"main","bearing_type":18},{"name":"thrust","bearing_type":20}],"shim_place":"under_flange","bore_planes":3,"fits":["K-T-D"]},"reason":"","kind_version":1}', X'dc16b5d89768b0fd8c15da06acfdcde45c170345bc098465422379e9ef38653a', X'8a5459f4b2dc32c494e06333918aa12e856363597cb1c89ad34a3b0632fd1638');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (24, X'e221d99b45e66b975a575e95ad2c1a9f', 24, 'register_change', 1, 1795688121407, 0, 'second', 1795688121407, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"chock_type","code":"BC side O","seats":[{"name":"main","bearing_type":21},{"name":"main2","bearing_type":21}],"shim_place":"under_flange","bore_planes":3,"fits":["R-T-O"]},"reason":"","kind_version":1}', X'8a5459f4b2dc32c494e06333918aa12e856363597cb1c89ad34a3b0632fd1638', X'53b7b7959f028c2f9ab4121f92e75cd0d21473be2eeb02397d0af4b41c040c21');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (25, X'e221d99b45e66b975a575e95ad2c1a9f', 25, 'register_change', 1, 1795688121412, 0, 'second', 1795688121412, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"chock","code":"WC-17","chock_type":22},"reason":"","kind_version":1}', X'53b7b7959f028c2f9ab4121f92e75cd0d21473be2eeb02397d0af4b41c040c21', X'1e1cf27f65a6cb202a3f876e20d497de37e80e190f32d847aabb265732fca06f');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (26, X'e221d99b45e66b975a575e95ad2c1a9f', 26, 'register_change', 1, 1795688121418, 0, 'second', 1795688121418, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"chock","code":"KC-25","chock_type":23},"reason":"","kind_version":1}', X'1e1cf27f65a6cb202a3f876e20d497de37e80e190f32d847aabb265732fca06f', X'904054cc199f88588b7eb2b0c443be6eda1a0d5dca8555f12b8c789b0e2dbac5');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (27, X'e221d99b45e66b975a575e95ad2c1a9f', 27, 'register_change', 1, 1795688121424, 0, 'second', 1795688121424, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"chock","code":"BC-01","chock_type":24},"reason":"","kind_version":1}', X'904054cc199f88588b7eb2b0c443be6eda1a0d5dca8555f12b8c789b0e2dbac5', X'd6d2c13b5c9c39d8195dfbff61a0104eca3633cf920578a9a5e29ba5604adb3c');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (28, X'e221d99b45e66b975a575e95ad2c1a9f', 28, 'register_change', 1, 1795688121431, 0, 'second', 1795688121431, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"bearing","serial":"TH-4T-008","bearing_type":17,"prior_run_s":0,"prior_note":""},"reason":"","kind_version":1}', X'd6d2c13b5c9c39d8195dfbff61a0104eca3633cf920578a9a5e29ba5604adb3c', X'12088a6d3d2f72b4fb6393a2bc17591f59464effd796c08264025ac495b1eb98');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (29, X'e221d99b45e66b975a575e95ad2c1a9f', 29, 'register_change', 1, 1795688121440, 0, 'second', 1795688121440, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"bearing","serial":"TH-4C-009","bearing_type":18,"prior_run_s":0,"prior_note":""},"reason":"","kind_version":1}', X'12088a6d3d2f72b4fb6393a2bc17591f59464effd796c08264025ac495b1eb98', X'd4a1d6d9f5916201137feaaf71c1e4b3d5f85fe222fe50cf6b60f36bd13d58c9');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (30, X'e221d99b45e66b975a575e95ad2c1a9f', 30, 'register_change', 1, 1795688121444, 0, 'second', 1795688121444, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"bearing","serial":"TH-4CI-17","bearing_type":19,"prior_run_s":0,"prior_note":""},"reason":"","kind_version":1}', X'd4a1d6d9f5916201137feaaf71c1e4b3d5f85fe222fe50cf6b60f36bd13d58c9', X'62320e6cabd8a8257de62a777fc14a11c9c978fbdafdfdc3fcacee1d563d161e');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (31, X'e221d99b45e66b975a575e95ad2c1a9f', 31, 'register_change', 1, 1795688121445, 0, 'second', 1795688121445, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"bearing","serial":"TH-2X-009","bearing_type":20,"prior_run_s":0,"prior_note":""},"reason":"","kind_version":1}', X'62320e6cabd8a8257de62a777fc14a11c9c978fbdafdfdc3fcacee1d563d161e', X'fe5b82d9dba56ecb247bc4fe69ea392282c3023a33ec44b0f36b7a8e6dff2f4f');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (32, X'e221d99b45e66b975a575e95ad2c1a9f', 32, 'register_change', 1, 1795688121446, 0, 'second', 1795688121446, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"bearing","serial":"TH-2S-013","bearing_type":21,"prior_run_s":0,"prior_note":""},"reason":"","kind_version":1}', X'fe5b82d9dba56ecb247bc4fe69ea392282c3023a33ec44b0f36b7a8e6dff2f4f', X'215d7efc406417a5af58d08fcf1c8be101d2457ce8cfc0d1b07434cfbdbe3dbb');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (33, X'e221d99b45e66b975a575e95ad2c1a9f', 33, 'register_change', 1, 1795688121449, 0, 'second', 1795688121449, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"bearing","serial":"TH-2S-014","bearing_type":21,"prior_run_s":0,"prior_note":""},"reason":"","kind_version":1}', X'215d7efc406417a5af58d08fcf1c8be101d2457ce8cfc0d1b07434cfbdbe3dbb', X'd9436714182420ee271560b93b15e7da4738d34acb6439aea98942b8f0f6a74b');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (34, X'e221d99b45e66b975a575e95ad2c1a9f', 34, 'register_change', 1, 1795688121454, 0, 'second', 1795688121454, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"gauge","code":"BG-03","kind":"bore gauge","measures":"bore","range":"","resolution":1000,"expanded_uncertainty":10000,"certificate":"CAL-BG-03","due_ms":1893499200000,"standard":""},"reason":"","kind_version":1}', X'd9436714182420ee271560b93b15e7da4738d34acb6439aea98942b8f0f6a74b', X'5694ce2f3035c73d26c81a96b1901decfae13a55ec591d04a04c334328a8a33f');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (35, X'e221d99b45e66b975a575e95ad2c1a9f', 35, 'register_change', 1, 1795688121464, 0, 'second', 1795688121464, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"gauge","code":"OM-02","kind":"outside micrometer","measures":"neck","range":"","resolution":1000,"expanded_uncertainty":8000,"certificate":"CAL-OM-02","due_ms":1893499200000,"standard":""},"reason":"","kind_version":1}', X'5694ce2f3035c73d26c81a96b1901decfae13a55ec591d04a04c334328a8a33f', X'7c728b113461f305feddcc4b814c45a558df2c31c80136a311f48f7c39b2352a');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (36, X'e221d99b45e66b975a575e95ad2c1a9f', 36, 'register_change', 1, 1795688121468, 0, 'second', 1795688121468, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"gauge","code":"OM-04","kind":"outside micrometer","measures":"neck","range":"","resolution":1000,"expanded_uncertainty":11000,"certificate":"CAL-OM-04","due_ms":1893499200000,"standard":""},"reason":"","kind_version":1}', X'7c728b113461f305feddcc4b814c45a558df2c31c80136a311f48f7c39b2352a', X'2e6547352167731958d25ad62d19ffb833d50da1f1b52425588a49565cf59841');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (37, X'e221d99b45e66b975a575e95ad2c1a9f', 37, 'register_change', 1, 1795688121480, 0, 'second', 1795688121480, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"gauge","code":"BG-04","kind":"bore gauge","measures":"bore","range":"","resolution":1000,"expanded_uncertainty":14000,"certificate":"CAL-BG-04","due_ms":1893499200000,"standard":""},"reason":"","kind_version":1}', X'2e6547352167731958d25ad62d19ffb833d50da1f1b52425588a49565cf59841', X'826a96f7937ba5a16b6c0ed4e1af62c502c001276a1e6f6e7cb2211025f28fad');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (38, X'e221d99b45e66b975a575e95ad2c1a9f', 38, 'register_change', 1, 1795688121492, 0, 'second', 1795688121492, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"gauge","code":"GB-01","kind":"gap block set","measures":"gap","range":"","resolution":1000,"expanded_uncertainty":12000,"certificate":"CAL-GB-01","due_ms":1893499200000,"standard":""},"reason":"","kind_version":1}', X'826a96f7937ba5a16b6c0ed4e1af62c502c001276a1e6f6e7cb2211025f28fad', X'da86170696b28d59eb6a525786c2c0af9d9976c2467a481b8b422379e7611a97');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (39, X'e221d99b45e66b975a575e95ad2c1a9f', 39, 'register_change', 1, 1795688121500, 0, 'second', 1795688121500, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"gauge","code":"FG-05","kind":"feeler set","measures":"gap","range":"","resolution":1000,"expanded_uncertainty":10000,"certificate":"CAL-FG-05","due_ms":1893499200000,"standard":""},"reason":"","kind_version":1}', X'da86170696b28d59eb6a525786c2c0af9d9976c2467a481b8b422379e7611a97', X'6a772aca3206ae70e6ec21f508f269ead8a07fd6517ce671e7cc4fcc3e33aeff');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (40, X'e221d99b45e66b975a575e95ad2c1a9f', 40, 'register_change', 1, 1795688121508, 0, 'second', 1795688121508, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"gauge","code":"HG-02","kind":"height gauge","measures":"width","range":"","resolution":1000,"expanded_uncertainty":9000,"certificate":"CAL-HG-02","due_ms":1893499200000,"standard":""},"reason":"","kind_version":1}', X'6a772aca3206ae70e6ec21f508f269ead8a07fd6517ce671e7cc4fcc3e33aeff', X'b8ac306eb495976025a1b14beaf84228189153fa449791b5427f113226dee8fe');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (41, X'e221d99b45e66b975a575e95ad2c1a9f', 41, 'register_change', 1, 1795688121513, 0, 'second', 1795688121513, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"gauge","code":"TW-02","kind":"torque wrench","measures":"torque","range":"","resolution":5000,"expanded_uncertainty":20000,"certificate":"CAL-TW-02","due_ms":1893499200000,"standard":""},"reason":"","kind_version":1}', X'b8ac306eb495976025a1b14beaf84228189153fa449791b5427f113226dee8fe', X'8a48fe604931ddfe5b63c80e0b45527637e96a248997f008b8b525c0996147c9');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (42, X'e221d99b45e66b975a575e95ad2c1a9f', 42, 'register_change', 1, 1795688121518, 0, 'second', 1795688121518, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"seal_batch","code":"SB-52","name":"neck seals"},"reason":"","kind_version":1}', X'8a48fe604931ddfe5b63c80e0b45527637e96a248997f008b8b525c0996147c9', X'1bb87baaf75d7b6db5a7b1e1912b2ee42cb5d6f2da38811cbfda45cb0b51965f');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (43, X'e221d99b45e66b975a575e95ad2c1a9f', 43, 'register_change', 1, 1795688121524, 0, 'second', 1795688121524, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"register_change","thing":null,"record":{"entity":"grease","code":"G-1","name":"roll-neck grease"},"reason":"","kind_version":1}', X'1bb87baaf75d7b6db5a7b1e1912b2ee42cb5d6f2da38811cbfda45cb0b51965f', X'93c17938f82cdae8abd45d969fcde3ad4c6fc6ce3fc75fe78c5f10d878cd9a43');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (44, X'e221d99b45e66b975a575e95ad2c1a9f', 44, 'received', 1, 1788249600000, 0, 'minute', 1795688121529, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"received","bearing":28,"as_set_nm":[300000,305000,295000],"spacer_nm":[24012000,30004000,24008000],"certificate":"C-7","note":"crate dry","kind_version":1}', X'93c17938f82cdae8abd45d969fcde3ad4c6fc6ce3fc75fe78c5f10d878cd9a43', X'd907175036f0911a672281ef3d18ee96d9991c171c5be33e6e49c05e59f18b69');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (45, X'e221d99b45e66b975a575e95ad2c1a9f', 45, 'inspected_at_receipt', 1, 1788256800000, 0, 'minute', 1795688121536, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"inspected_at_receipt","bearing":28,"condition":"sound","is_accepted":true,"claim":"","kind_version":1}', X'd907175036f0911a672281ef3d18ee96d9991c171c5be33e6e49c05e59f18b69', X'b8c63671c95dc440eaffbaa6bdff6c08518300e60b9d56e5bcf5d5269f8ebd10');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (46, X'e221d99b45e66b975a575e95ad2c1a9f', 46, 'assembled', 1, 1788343200000, 0, 'minute', 1795688121541, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"assembled","bearing":28,"chock":25,"seat":"main","zone":1,"note":"","kind_version":1}', X'b8c63671c95dc440eaffbaa6bdff6c08518300e60b9d56e5bcf5d5269f8ebd10', X'ba3eb7f2ea63bd7a00568831f2412f57f00fe25f301906376658ea4eee712467');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (47, X'e221d99b45e66b975a575e95ad2c1a9f', 47, 'assembled', 1, 1788343200000, 0, 'minute', 1795688121549, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"assembled","bearing":29,"chock":26,"seat":"main","zone":1,"note":"","kind_version":1}', X'ba3eb7f2ea63bd7a00568831f2412f57f00fe25f301906376658ea4eee712467', X'cebe576dfbe52a4b77456445087a9df79f0097dda563b3542fd4d6bb48af6774');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (48, X'e221d99b45e66b975a575e95ad2c1a9f', 48, 'assembled', 1, 1788343200000, 0, 'minute', 1795688121552, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"assembled","bearing":31,"chock":26,"seat":"thrust","zone":0,"note":"","kind_version":1}', X'cebe576dfbe52a4b77456445087a9df79f0097dda563b3542fd4d6bb48af6774', X'a8e35ac5506046cc648bac7b1047315e706ffaa58865d489e36a705f167dcfe5');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (49, X'e221d99b45e66b975a575e95ad2c1a9f', 49, 'assembled', 1, 1788343200000, 0, 'minute', 1795688121564, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"assembled","bearing":32,"chock":27,"seat":"main","zone":1,"note":"","kind_version":1}', X'a8e35ac5506046cc648bac7b1047315e706ffaa58865d489e36a705f167dcfe5', X'637579eced1537df28261f8ee87be962e207981266ac8935a6152b6a1a892d78');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (50, X'e221d99b45e66b975a575e95ad2c1a9f', 50, 'assembled', 1, 1788343200000, 0, 'minute', 1795688121569, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"assembled","bearing":33,"chock":27,"seat":"main2","zone":1,"note":"","kind_version":1}', X'637579eced1537df28261f8ee87be962e207981266ac8935a6152b6a1a892d78', X'0b021e3eea000e3e164ff2fe3c9abe4a5590c096c71d87793e430ae08ba6eeaa');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (51, X'e221d99b45e66b975a575e95ad2c1a9f', 51, 'assembled', 1, 1788346800000, 0, 'minute', 1795688121584, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"assembled","bearing":30,"chock":15,"seat":"neck_d","zone":0,"note":"","kind_version":1}', X'0b021e3eea000e3e164ff2fe3c9abe4a5590c096c71d87793e430ae08ba6eeaa', X'fb619d55ddc26e5fe0be99eec695fe1fba62cd78b93037186ced327b1c8fef7a');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (52, X'e221d99b45e66b975a575e95ad2c1a9f', 52, 'paired', 1, 1788350400000, 0, 'minute', 1795688121598, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"paired","outer":29,"inner":30,"kind_version":1}', X'fb619d55ddc26e5fe0be99eec695fe1fba62cd78b93037186ced327b1c8fef7a', X'ae70b3ed64e19e4e3f0db8c94e581494d01d68111b9f918ec1dc5384b234f0ed');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (53, X'e221d99b45e66b975a575e95ad2c1a9f', 53, 'greased', 1, 1788354000000, 0, 'minute', 1795688121612, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"greased","bearing":28,"grease":43,"amount_mg":1840000,"note":"","kind_version":1}', X'ae70b3ed64e19e4e3f0db8c94e581494d01d68111b9f918ec1dc5384b234f0ed', X'ca19051faeb075cb5cc463911128546917cc2ab7cbc223df8a611cad89b07686');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (54, X'e221d99b45e66b975a575e95ad2c1a9f', 54, 'mounted', 1, 1788415200000, 0, 'minute', 1795688121620, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"mounted","chock":26,"roll":15,"position":11,"kind_version":1}', X'ca19051faeb075cb5cc463911128546917cc2ab7cbc223df8a611cad89b07686', X'858e586fc31a27e902c778ad084eef7fbf268602c12913bfd63ca630982908d1');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (55, X'e221d99b45e66b975a575e95ad2c1a9f', 55, 'condition_reading', 1, 1788501600000, 0, 'minute', 1795688121628, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"condition_reading","chock":26,"what":"temperature","value":96000,"text":"own baseline 58","is_early_teardown":true,"kind_version":1}', X'858e586fc31a27e902c778ad084eef7fbf268602c12913bfd63ca630982908d1', X'003ce666ab9c9d890e17e5aaf49dae70c4cc9510dd7e6380c2398ef642f1c7b3');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (56, X'e221d99b45e66b975a575e95ad2c1a9f', 56, 'dismounted', 1, 1788516000000, 0, 'minute', 1795688121637, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"dismounted","chock":26,"kind_version":1}', X'003ce666ab9c9d890e17e5aaf49dae70c4cc9510dd7e6380c2398ef642f1c7b3', X'b39d12b2439996e786d9afc7debfeefdb8a3636191912a25fc56062a3e6b54de');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (57, X'e221d99b45e66b975a575e95ad2c1a9f', 57, 'seat_check', 1, 1788595200000, 0, 'minute', 1795688121643, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"seat_check","thing":14,"neck":"O","bearing_type":17,"body":{"readings":[{"path":"neck.1.0","text":"479.720","unit":"mm","value":479720000,"source":"imported","gauge":"e221d99b45e66b975a575e95ad2c1a9f:35","is_gauge_overdue":false},{"path":"neck.1.135","text":"479.720","unit":"mm","value":479720000,"source":"imported","gauge":"e221d99b45e66b975a575e95ad2c1a9f:35","is_gauge_overdue":false},{"path":"neck.1.45","text":"479.720","unit":"mm","value":479720000,"source":"imported","gauge":"e221d99b45e66b975a575e95ad2c1a9f:35","is_gauge_overdue":false},{"path":"neck.1.90","text":"479.720","unit":"mm","value":479720000,"source":"imported","gauge":"e221d99b45e66b975a575e95ad2c1a9f:35","is_gauge_overdue":false},{"path":"neck.2.0","text":"479.720","unit":"mm","value":479720000,"source":"imported","gauge":"e221d99b45e66b975a575e95ad2c1a9f:35","is_gauge_overdue":false},{"path":"neck.2.135","text":"479.720","unit":"mm","value":479720000,"source":"imported","gauge":"e221d99b45e66b975a575e95ad2c1a9f:35","is_gauge_overdue":false},{"path":"neck.2.45","text":"479.720","unit":"mm","value":479720000,"source":"imported","gauge":"e221d99b45e66b975a575e95ad2c1a9f:35","is_gauge_overdue":false},{"path":"neck.2.90","text":"479.720","unit":"mm","value":479720000,"source":"imported","gauge":"e221d99b45e66b975a575e95ad2c1a9f:35","is_gauge_overdue":false},{"path":"neck.3.0","text":"479.720","unit":"mm","value":479720000,"source":"imported","gauge":"e221d99b45e66b975a575e95ad2c1a9f:35","is_gauge_overdue":false},{"path":"neck.3.135","text":"479.720","unit":"mm","value":479720000,"source":"imported","gauge":"e221d99b45e66b975a575e95ad2c1a9f:35","is_gauge_overdue":false},{"path":"neck.3.45","text":"479.720","unit":"mm","value":479720000,"source":"imported","gauge":"e221d99b45e66b975a575e95ad2c1a9f:35","is_gauge_overdue":false},{"path":"neck.3.90","text":"479.720","unit":"mm","value":479720000,"source":"imported","gauge":"e221d99b45e66b975a575e95ad2c1a9f:35","is_gauge_overdue":false},{"path":"neck.temp_first","text":"20","unit":"C","value":20000,"source":"imported","gauge":null,"is_gauge_overdue":false},{"path":"neck.temp_gauge","text":"20","unit":"C","value":20000,"source":"imported","gauge":null,"is_gauge_overdue":false},{"path":"neck.temp_last","text":"20","unit":"C","value":20000,"source":"imported","gauge":null,"is_gauge_overdue":false}],"entries":[{"path":"neck.gauge","text":"OM-02"}],"findings":[],"results":[{"name":"neck_mean_nm","item":0,"value":-280000},{"name":"neck_smallest_nm","item":0,"value":-280000},{"name":"neck_largest_nm","item":0,"value":-280000},{"name":"neck_taper_nm","item":0,"value":0},{"name":"neck_ovality_nm","item":1,"value":0},{"name":"neck_ovality_nm","item":2,"value":0},{"name":"neck_ovality_nm","item":3,"value":0},{"name":"neck_size_nm","item":1,"value":479720000},{"name":"neck_size_nm","item":2,"value":479720000},{"name":"neck_size_nm","item":3,"value":479720000},{"name":"neck_size_nm","item":4,"value":479720000},{"name":"neck_size_nm","item":5,"value":479720000},{"name":"neck_size_nm","item":6,"value":479720000},{"name":"neck_size_nm","item":7,"value":479720000},{"name":"neck_size_nm","item":8,"value":479720000},{"name":"neck_size_nm","item":9,"value":479720000},{"name":"neck_size_nm","item":10,"value":479720000},{"name":"neck_size_nm","item":11,"value":479720000},{"name":"neck_size_nm","item":12,"value":479720000}],"verdicts":[{"about":"neck_smallest","item":0,"verdict":"pass","value_nm":479720000,"expanded_uncertainty_nm":8000,"lower_nm":479660000,"upper_nm":null,"limit_origin":"limits of N4T-480/620-336","limit_version":"e221d99b45e66b975a575e95ad2c1a9f:17","probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"neck_smallest 1","note":""},{"about":"neck_largest","item":0,"verdict":"pass","value_nm":479720000,"expanded_uncertainty_nm":8000,"lower_nm":null,"upper_nm":479760000,"limit_origin":"limits of N4T-480/620-336","limit_version":"e221d99b45e66b975a575e95ad2c1a9f:17","probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"neck_largest 1","note":""}],"not_measured":[],"photos":[]},"note":"after grinding","kind_version":1}', X'b39d12b2439996e786d9afc7debfeefdb8a3636191912a25fc56062a3e6b54de', X'3a3e881573bfdb16ed80f52ba1cc606848f8aca076498853a2176f0158664a4e');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (58, X'e221d99b45e66b975a575e95ad2c1a9f', 58, 'teardown_sheet', 1, 1788681600000, 0, 'minute', 1795688121654, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"teardown_sheet","bearing":28,"chock":25,"roll":null,"position":null,"zone_found":1,"body":{"readings":[{"path":"bolts.torque","text":"680","unit":"Nm","value":680000,"source":"imported","gauge":41,"is_gauge_overdue":false},{"path":"clearance.gap.1.0","text":"23.612","unit":"mm","value":23612000,"source":"imported","gauge":38,"is_gauge_overdue":false},{"path":"clearance.gap.1.180","text":"23.612","unit":"mm","value":23612000,"source":"imported","gauge":38,"is_gauge_overdue":false},{"path":"clearance.gap.1.270","text":"23.612","unit":"mm","value":23612000,"source":"imported","gauge":38,"is_gauge_overdue":false},{"path":"clearance.gap.1.90","text":"23.612","unit":"mm","value":23612000,"source":"imported","gauge":38,"is_gauge_overdue":false},{"path":"clearance.gap.2.0","text":"29.604","unit":"mm","value":29604000,"source":"imported","gauge":38,"is_gauge_overdue":false},{"path":"clearance.gap.2.180","text":"29.604","unit":"mm","value":29604000,"source":"imported","gauge":38,"is_gauge_overdue":false},{"path":"clearance.gap.2.270","text":"29.604","unit":"mm","value":29604000,"source":"imported","gauge":38,"is_gauge_overdue":false},{"path":"clearance.gap.2.90","text":"29.604","unit":"mm","value":29604000,"source":"imported","gauge":38,"is_gauge_overdue":false},{"path":"clearance.gap.3.0","text":"23.608","unit":"mm","value":23608000,"source":"imported","gauge":38,"is_gauge_overdue":false},{"path":"clearance.gap.3.180","text":"23.608","unit":"mm","value":23608000,"source":"imported","gauge":38,"is_gauge_overdue":false},{"path":"clearance.gap.3.270","text":"23.608","unit":"mm","value":23608000,"source":"imported","gauge":38,"is_gauge_overdue":false},{"path":"clearance.gap.3.90","text":"23.608","unit":"mm","value":23608000,"source":"imported","gauge":38,"is_gauge_overdue":false},{"path":"clearance.spacer.1","text":"24.012","unit":"mm","value":24012000,"source":"imported","gauge":40,"is_gauge_overdue":false},{"path":"clearance.spacer.2","text":"30.004","unit":"mm","value":30004000,"source":"imported","gauge":40,"is_gauge_overdue":false},{"path":"clearance.spacer.3","text":"24.008","unit":"mm","value":24008000,"source":"imported","gauge":40,"is_gauge_overdue":false},{"path":"grease.row.1","text":"850","unit":"g","value":850000,"source":"imported","gauge":null,"is_gauge_overdue":false},{"path":"grease.row.2","text":"850","unit":"g","value":850000,"source":"imported","gauge":null,"is_gauge_overdue":false},{"path":"grease.row.3","text":"850","unit":"g","value":850000,"source":"imported","gauge":null,"is_gauge_overdue":false},{"path":"grease.row.4","text":"850","unit":"g","value":850000,"source":"imported","gauge":null,"is_gauge_overdue":false}],"entries":[{"path":"bolts.pattern","text":"crosswise"},{"path":"bolts.wrench","text":"TW-02"},{"path":"clean.agent","text":"solvent"},{"path":"clean.preserved","text":"oil"},{"path":"clean.state","text":"used"},{"path":"clearance.gauge_gap","text":"GB-01"},{"path":"clearance.gauge_width","text":"HG-02"},{"path":"decision.choice","text":"return_after_turning"},{"path":"decision.reason","text":"seats measured last week"},{"path":"findings.none","text":"yes"},{"path":"found.grease","text":"normal"},{"path":"found.rotation","text":"free"},{"path":"found.seal","text":"sound"},{"path":"found.water","text":"none"},{"path":"grease.kind","text":"G-1"},{"path":"identify.bearing","text":"TH-4T-008"},{"path":"identify.chock","text":"WC-17"},{"path":"identify.zone","text":"I"},{"path":"parts.order","text":"as_marked"},{"path":"protect.with","text":"textile"},{"path":"reassemble.chock","text":"WC-17"},{"path":"seals.batch","text":"SB-52"},{"path":"seals.done","text":"changed"},{"path":"zone.choice","text":"II"},{"path":"zone.reason","text":"as planned"},{"path":"zone.rings","text":"alike"}],"findings":[],"results":[{"name":"mean_gap_nm","item":1,"value":23612000},{"name":"end_play_nm","item":1,"value":400000},{"name":"mean_gap_nm","item":2,"value":29604000},{"name":"end_play_nm","item":2,"value":400000},{"name":"mean_gap_nm","item":3,"value":23608000},{"name":"end_play_nm","item":3,"value":400000}],"verdicts":[{"about":"clearance","item":1,"verdict":"pass","value_nm":400000,"expanded_uncertainty_nm":15000,"lower_nm":270000,"upper_nm":600000,"limit_origin":"rework level of N4T-480/620-336","limit_version":17,"probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"clearance 1","note":""},{"about":"clearance","item":2,"verdict":"pass","value_nm":400000,"expanded_uncertainty_nm":15000,"lower_nm":270000,"upper_nm":600000,"limit_origin":"rework level of N4T-480/620-336","limit_version":17,"probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"clearance 1","note":""},{"about":"clearance","item":3,"verdict":"pass","value_nm":400000,"expanded_uncertainty_nm":15000,"lower_nm":270000,"upper_nm":590000,"limit_origin":"times as set, the smaller of both (common practice)","limit_version":17,"probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"clearance 1","note":""}],"not_measured":[{"what":"bore","reason":"measured last week"},{"what":"cover","reason":"cover goes on tomorrow"},{"what":"neck","reason":"roll on the grinder"}],"photos":[]},"decision":{"recommended":"hold_for_engineer","reasons":["Not measured: chock bore (measured last week).","Not measured: roll neck (roll on the grinder).","Zone I stays up."],"causes":[],"decided":"return_after_turning","departure":"seats measured last week"},"reassembly":{"chock":25,"zone":2,"zone_reason":"as planned"},"fitter":null,"ordered_by":2,"kind_version":1}', X'3a3e881573bfdb16ed80f52ba1cc606848f8aca076498853a2176f0158664a4e', X'dee1c980ef107bc713f191862eff7f4a1e22cd2e43043812215c46fe25ce944a');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (59, X'e221d99b45e66b975a575e95ad2c1a9f', 59, 'teardown_sheet', 1, 1788688800000, 0, 'minute', 1795688121673, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"teardown_sheet","bearing":29,"chock":26,"roll":null,"position":null,"zone_found":1,"body":{"readings":[{"path":"radial.raceway.1.0","text":"840.100","unit":"mm","value":840100000,"source":"imported","gauge":36,"is_gauge_overdue":false},{"path":"radial.raceway.1.90","text":"840.100","unit":"mm","value":840100000,"source":"imported","gauge":36,"is_gauge_overdue":false},{"path":"radial.raceway.2.0","text":"840.100","unit":"mm","value":840100000,"source":"imported","gauge":36,"is_gauge_overdue":false},{"path":"radial.raceway.2.90","text":"840.100","unit":"mm","value":840100000,"source":"imported","gauge":36,"is_gauge_overdue":false},{"path":"radial.raceway.3.0","text":"840.100","unit":"mm","value":840100000,"source":"imported","gauge":36,"is_gauge_overdue":false},{"path":"radial.raceway.3.90","text":"840.100","unit":"mm","value":840100000,"source":"imported","gauge":36,"is_gauge_overdue":false},{"path":"radial.raceway.4.0","text":"840.100","unit":"mm","value":840100000,"source":"imported","gauge":36,"is_gauge_overdue":false},{"path":"radial.raceway.4.90","text":"840.100","unit":"mm","value":840100000,"source":"imported","gauge":36,"is_gauge_overdue":false},{"path":"radial.rollers.1.0","text":"840.520","unit":"mm","value":840520000,"source":"imported","gauge":37,"is_gauge_overdue":false},{"path":"radial.rollers.1.90","text":"840.520","unit":"mm","value":840520000,"source":"imported","gauge":37,"is_gauge_overdue":false},{"path":"radial.rollers.2.0","text":"840.520","unit":"mm","value":840520000,"source":"imported","gauge":37,"is_gauge_overdue":false},{"path":"radial.rollers.2.90","text":"840.520","unit":"mm","value":840520000,"source":"imported","gauge":37,"is_gauge_overdue":false},{"path":"radial.rollers.3.0","text":"840.520","unit":"mm","value":840520000,"source":"imported","gauge":37,"is_gauge_overdue":false},{"path":"radial.rollers.3.90","text":"840.520","unit":"mm","value":840520000,"source":"imported","gauge":37,"is_gauge_overdue":false},{"path":"radial.rollers.4.0","text":"840.520","unit":"mm","value":840520000,"source":"imported","gauge":37,"is_gauge_overdue":false},{"path":"radial.rollers.4.90","text":"840.520","unit":"mm","value":840520000,"source":"imported","gauge":37,"is_gauge_overdue":false}],"entries":[{"path":"clean.agent","text":"solvent"},{"path":"clean.preserved","text":"oil"},{"path":"clean.state","text":"used"},{"path":"decision.choice","text":"return_after_turning"},{"path":"decision.reason","text":"seats measured last week"},{"path":"findings.none","text":"yes"},{"path":"found.grease","text":"normal"},{"path":"found.inner","text":"tight"},{"path":"found.rotation","text":"free"},{"path":"found.seal","text":"sound"},{"path":"found.water","text":"none"},{"path":"identify.bearing","text":"TH-4C-009"},{"path":"identify.chock","text":"KC-25"},{"path":"identify.zone","text":"I"},{"path":"radial.gauge","text":"OM-04"},{"path":"radial.gauge_rollers","text":"BG-04"},{"path":"radial.method","text":"diameters"},{"path":"reassemble.chock","text":"KC-25"},{"path":"zone.choice","text":"II"},{"path":"zone.reason","text":"as planned"}],"findings":[],"results":[{"name":"clearance_nm","item":1,"value":420000},{"name":"row_clearance_nm","item":1,"value":420000},{"name":"row_clearance_nm","item":2,"value":420000},{"name":"row_clearance_nm","item":3,"value":420000},{"name":"row_clearance_nm","item":4,"value":420000}],"verdicts":[{"about":"clearance","item":0,"verdict":"pass","value_nm":420000,"expanded_uncertainty_nm":17804,"lower_nm":360000,"upper_nm":750000,"limit_origin":"rework level of N4C-760/1080-790","limit_version":18,"probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"clearance 1","note":""},{"about":"clearance_row","item":1,"verdict":"pass","value_nm":420000,"expanded_uncertainty_nm":17804,"lower_nm":360000,"upper_nm":750000,"limit_origin":"rework level of N4C-760/1080-790","limit_version":18,"probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"clearance_row 1","note":""},{"about":"clearance_row","item":2,"verdict":"pass","value_nm":420000,"expanded_uncertainty_nm":17804,"lower_nm":360000,"upper_nm":750000,"limit_origin":"rework level of N4C-760/1080-790","limit_version":18,"probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"clearance_row 1","note":""},{"about":"clearance_row","item":3,"verdict":"pass","value_nm":420000,"expanded_uncertainty_nm":17804,"lower_nm":360000,"upper_nm":750000,"limit_origin":"rework level of N4C-760/1080-790","limit_version":18,"probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"clearance_row 1","note":""},{"about":"clearance_row","item":4,"verdict":"pass","value_nm":420000,"expanded_uncertainty_nm":17804,"lower_nm":360000,"upper_nm":750000,"limit_origin":"rework level of N4C-760/1080-790","limit_version":18,"probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"clearance_row 1","note":""}],"not_measured":[{"what":"bore","reason":"measured last week"},{"what":"grease","reason":"oil mist"}],"photos":[]},"decision":{"recommended":"hold_for_engineer","reasons":["Not measured: chock bore (measured last week).","Zone I stays up."],"causes":[],"decided":"return_after_turning","departure":"seats measured last week"},"reassembly":{"chock":26,"zone":2,"zone_reason":"as planned"},"fitter":null,"ordered_by":2,"kind_version":1}', X'dee1c980ef107bc713f191862eff7f4a1e22cd2e43043812215c46fe25ce944a', X'046df9a9d94da71f249235d272f4fa89f9057271a8f3a027e41852a7399b42a4');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (60, X'e221d99b45e66b975a575e95ad2c1a9f', 60, 'teardown_sheet', 1, 1788692400000, 0, 'minute', 1795688121682, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"teardown_sheet","bearing":31,"chock":26,"roll":null,"position":null,"zone_found":null,"body":{"readings":[{"path":"axial.0","text":"0.42","unit":"mm","value":420000,"source":"imported","gauge":40,"is_gauge_overdue":false},{"path":"axial.180","text":"0.44","unit":"mm","value":440000,"source":"imported","gauge":40,"is_gauge_overdue":false},{"path":"axial.270","text":"0.42","unit":"mm","value":420000,"source":"imported","gauge":40,"is_gauge_overdue":false},{"path":"axial.90","text":"0.44","unit":"mm","value":440000,"source":"imported","gauge":40,"is_gauge_overdue":false}],"entries":[{"path":"clean.agent","text":"solvent"},{"path":"clean.preserved","text":"oil"},{"path":"clean.state","text":"used"},{"path":"decision.choice","text":"return_to_service"},{"path":"findings.none","text":"yes"},{"path":"found.grease","text":"normal"},{"path":"found.rotation","text":"free"},{"path":"found.seal","text":"sound"},{"path":"found.water","text":"none"},{"path":"identify.bearing","text":"TH-2X-009"},{"path":"identify.chock","text":"KC-25"},{"path":"radial.gauge","text":"HG-02"},{"path":"reassemble.chock","text":"KC-25"}],"findings":[],"results":[{"name":"clearance_nm","item":1,"value":430000}],"verdicts":[{"about":"clearance","item":0,"verdict":"pass","value_nm":430000,"expanded_uncertainty_nm":9000,"lower_nm":null,"upper_nm":900000,"limit_origin":"rework level of N2X-600/800-140","limit_version":20,"probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"clearance 1","note":""}],"not_measured":[{"what":"grease","reason":"oil mist"}],"photos":[]},"decision":{"recommended":"return_to_service","reasons":["Everything measured is inside its limits."],"causes":[],"decided":"return_to_service","departure":""},"reassembly":{"chock":26,"zone":0,"zone_reason":""},"fitter":null,"ordered_by":2,"kind_version":1}', X'046df9a9d94da71f249235d272f4fa89f9057271a8f3a027e41852a7399b42a4', X'aa6218e7d6331e99079700e064268c5f785526db357303f0f71b1277aa1928e5');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (61, X'e221d99b45e66b975a575e95ad2c1a9f', 61, 'teardown_sheet', 1, 1788696000000, 0, 'minute', 1795688121698, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"teardown_sheet","bearing":32,"chock":27,"roll":null,"position":null,"zone_found":1,"body":{"readings":[{"path":"radial.passes.1.0","text":"0.16","unit":"mm","value":160000,"source":"imported","gauge":39,"is_gauge_overdue":false},{"path":"radial.passes.2.0","text":"0.16","unit":"mm","value":160000,"source":"imported","gauge":39,"is_gauge_overdue":false},{"path":"radial.refused.1.0","text":"0.17","unit":"mm","value":170000,"source":"imported","gauge":39,"is_gauge_overdue":false},{"path":"radial.refused.2.0","text":"0.18","unit":"mm","value":180000,"source":"imported","gauge":39,"is_gauge_overdue":false}],"entries":[{"path":"clean.agent","text":"solvent"},{"path":"clean.preserved","text":"oil"},{"path":"clean.state","text":"used"},{"path":"decision.choice","text":"return_after_turning"},{"path":"decision.reason","text":"seats measured last week"},{"path":"findings.none","text":"yes"},{"path":"found.grease","text":"normal"},{"path":"found.rotation","text":"free"},{"path":"found.seal","text":"sound"},{"path":"found.water","text":"none"},{"path":"identify.bearing","text":"TH-2S-013"},{"path":"identify.chock","text":"BC-01"},{"path":"identify.zone","text":"I"},{"path":"radial.gauge","text":"FG-05"},{"path":"radial.method","text":"feeler"},{"path":"reassemble.chock","text":"BC-01"},{"path":"zone.choice","text":"II"},{"path":"zone.reason","text":"as planned"}],"findings":[],"results":[{"name":"clearance_nm","item":1,"value":167500},{"name":"row_clearance_nm","item":1,"value":165000},{"name":"row_largest_nm","item":1,"value":160000},{"name":"row_smallest_nm","item":1,"value":170000},{"name":"row_clearance_nm","item":2,"value":170000},{"name":"row_largest_nm","item":2,"value":160000},{"name":"row_smallest_nm","item":2,"value":180000}],"verdicts":[{"about":"clearance","item":0,"verdict":"pass","value_nm":167500,"expanded_uncertainty_nm":10000,"lower_nm":140000,"upper_nm":340000,"limit_origin":"rework level of N2S-180/300-96","limit_version":21,"probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"clearance 1","note":""},{"about":"clearance_row","item":1,"verdict":"pass","value_nm":165000,"expanded_uncertainty_nm":10000,"lower_nm":140000,"upper_nm":340000,"limit_origin":"rework level of N2S-180/300-96","limit_version":21,"probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"clearance_row 1","note":""},{"about":"clearance_row","item":2,"verdict":"pass","value_nm":170000,"expanded_uncertainty_nm":10000,"lower_nm":140000,"upper_nm":340000,"limit_origin":"rework level of N2S-180/300-96","limit_version":21,"probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"clearance_row 1","note":""}],"not_measured":[{"what":"bore","reason":"measured last week"},{"what":"grease","reason":"packed by hand"},{"what":"neck","reason":"roll on the grinder"}],"photos":[]},"decision":{"recommended":"hold_for_engineer","reasons":["Not measured: chock bore (measured last week).","Not measured: roll neck (roll on the grinder).","Zone I stays up."],"causes":[],"decided":"return_after_turning","departure":"seats measured last week"},"reassembly":{"chock":27,"zone":2,"zone_reason":"as planned"},"fitter":null,"ordered_by":2,"kind_version":1}', X'aa6218e7d6331e99079700e064268c5f785526db357303f0f71b1277aa1928e5', X'9f450aea32e18591e8e0f28104003714e265fa625ce0b759727f7f1da57a02c7');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (62, X'e221d99b45e66b975a575e95ad2c1a9f', 62, 'mounting_sheet', 1, 1788760800000, 0, 'minute', 1795688121714, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"mounting_sheet","chock":25,"bearing":28,"inner":null,"roll":14,"position":8,"is_mounted":true,"body":{"readings":[{"path":"mount.cover.0","text":"1.20","unit":"mm","value":1200000,"source":"imported","gauge":null,"is_gauge_overdue":false},{"path":"mount.cover.90","text":"1.20","unit":"mm","value":1200000,"source":"imported","gauge":null,"is_gauge_overdue":false},{"path":"mount.cover.180","text":"1.20","unit":"mm","value":1200000,"source":"imported","gauge":null,"is_gauge_overdue":false},{"path":"mount.cover.270","text":"1.20","unit":"mm","value":1200000,"source":"imported","gauge":null,"is_gauge_overdue":false},{"path":"mount.shim","text":"1.20","unit":"mm","value":1200000,"source":"imported","gauge":null,"is_gauge_overdue":false},{"path":"mount.bolt.torque","text":"680","unit":"Nm","value":680000,"source":"imported","gauge":41,"is_gauge_overdue":false}],"entries":[{"path":"identify.chock","text":"WC-17"},{"path":"identify.roll","text":"R-101"},{"path":"identify.position","text":"F2-W-T-O"},{"path":"mount.neck.cracks","text":"dye_clear"},{"path":"mount.parts.order","text":"A B C D"},{"path":"mount.parts.zone.1","text":"II"},{"path":"mount.parts.zone.2","text":"II"},{"path":"mount.parts.zone.3","text":"II"},{"path":"mount.seal.lip","text":"sound"},{"path":"mount.bolt.wrench","text":"TW-02"},{"path":"mount.bolt.pattern","text":"crosswise_steps"},{"path":"mount.protect","text":"textile"},{"path":"mount.outcome","text":"mounted"}],"findings":[],"results":[{"name":"mount_last_play_1_nm","item":0,"value":400000},{"name":"mount_last_play_2_nm","item":0,"value":400000},{"name":"mount_last_play_3_nm","item":0,"value":400000},{"name":"mount_shim_nm","item":0,"value":1200000}],"verdicts":[{"about":"mount_cover_spread","item":0,"verdict":"pass","value_nm":0,"expanded_uncertainty_nm":0,"lower_nm":null,"upper_nm":50000,"limit_origin":"drawn up evenly (common practice, no source)","limit_version":17,"probability_ppm":1000000,"rule":"ISO 14253-1:2017","method":"mount_cover_spread 1","note":""}],"not_measured":[{"what":"neck","reason":"measured on the 5th"},{"what":"mount.ring","reason":"set stays in its chock"},{"what":"mount.play","reason":"as left on the bench"},{"what":"grease","reason":"filled at the teardown"}],"photos":[]},"fitter":null,"ordered_by":2,"kind_version":1}', X'9f450aea32e18591e8e0f28104003714e265fa625ce0b759727f7f1da57a02c7', X'530e46323b8ec66f138be88064849d1d61b8a8801ed5d60fbeec8be25fe81acd');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (63, X'e221d99b45e66b975a575e95ad2c1a9f', 63, 'dismounted', 1, 1788850800000, 0, 'minute', 1795688121721, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"dismounted","chock":25,"kind_version":1}', X'530e46323b8ec66f138be88064849d1d61b8a8801ed5d60fbeec8be25fe81acd', X'6a0ce543b4753e7f478542c932153cde0526f3078cf88f4130ad54f706ad69b4');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (64, X'e221d99b45e66b975a575e95ad2c1a9f', 64, 'gauge_found_out', 1, 1788940800000, 0, 'minute', 1795688121725, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"gauge_found_out","gauge":35,"error":24000,"text":"reads large on its rod","kind_version":1}', X'6a0ce543b4753e7f478542c932153cde0526f3078cf88f4130ad54f706ad69b4', X'098d326c04ee41f30ba0f44b66e26737a45ffda0204b1540dc0b7836fc6faa61');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (65, X'e221d99b45e66b975a575e95ad2c1a9f', 65, 'gauge_calibrated', 1, 1788944400000, 0, 'minute', 1795688121732, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"gauge_calibrated","gauge":35,"certificate":"CAL-OM-02b","due_ms":1925035200000,"expanded_uncertainty":8000,"kind_version":1}', X'098d326c04ee41f30ba0f44b66e26737a45ffda0204b1540dc0b7836fc6faa61', X'0ccaa3b0aea2970a460c30e19c3c79f75947a3b8ed745bb79f1f1a6441aac954');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (66, X'e221d99b45e66b975a575e95ad2c1a9f', 66, 'hold', 1, 1789027200000, 0, 'minute', 1795688121744, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"hold","thing":33,"reason":"fluting on both rows","kind_version":1}', X'0ccaa3b0aea2970a460c30e19c3c79f75947a3b8ed745bb79f1f1a6441aac954', X'96f47a44854b7db4fd869c80b125c900bf00b5477a91a10c697b15f247f9f544');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (67, X'e221d99b45e66b975a575e95ad2c1a9f', 67, 'taken_out', 1, 1789030800000, 0, 'minute', 1795688121751, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"taken_out","bearing":33,"reason":"fluting","kind_version":1}', X'96f47a44854b7db4fd869c80b125c900bf00b5477a91a10c697b15f247f9f544', X'5f37ab35ed38191479c2d8e8de80cd9d43a97c1036280c44394178591aabfc0d');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (68, X'e221d99b45e66b975a575e95ad2c1a9f', 68, 'scrapped', 1, 1789034400000, 0, 'minute', 1795688121757, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"scrapped","thing":33,"reason":"current leakage","witness":4,"kind_version":1}', X'5f37ab35ed38191479c2d8e8de80cd9d43a97c1036280c44394178591aabfc0d', X'e5409c8169750cb0339323edc17979657a88b2349cd401f08893b20494553d8c');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (69, X'e221d99b45e66b975a575e95ad2c1a9f', 69, 'batch_blocked', 1, 1789113600000, 0, 'minute', 1795688121769, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"batch_blocked","batch":42,"reason":"stains in 7 of 9 bearings","kind_version":1}', X'e5409c8169750cb0339323edc17979657a88b2349cd401f08893b20494553d8c', X'6da939c640f9aed6e439f2aa07c066103ef4c2d3d4a6def432c837d344be7836');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (70, X'e221d99b45e66b975a575e95ad2c1a9f', 70, 'unpaired', 1, 1789200000000, 0, 'minute', 1795688121776, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"unpaired","outer":29,"reason":"roll to the grinder","kind_version":1}', X'6da939c640f9aed6e439f2aa07c066103ef4c2d3d4a6def432c837d344be7836', X'395e81332b3e2707869f2d05442c1b51b47c327dfa3f0c08de24620c21a6f3b7');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (71, X'e221d99b45e66b975a575e95ad2c1a9f', 71, 'mill_job', 1, 1789286400000, 0, 'minute', 1795688121784, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"mill_job","position":8,"text":"window liner worn","is_done":false,"kind_version":1}', X'395e81332b3e2707869f2d05442c1b51b47c327dfa3f0c08de24620c21a6f3b7', X'27e125cea3f5409935a0b7e3af79fe57cd1be56e1a0688b4c6b342f644aaca8c');
INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash) VALUES (72, X'e221d99b45e66b975a575e95ad2c1a9f', 72, 'sent_out', 1, 1789372800000, 0, 'minute', 1795688121796, 0, X'e221d99b45e66b975a575e95ad2c1a9f', 2, '{"kind":"sent_out","thing":15,"to":"North Yard","packet":"neck to be ground","kind_version":1}', X'27e125cea3f5409935a0b7e3af79fe57cd1be56e1a0688b4c6b342f644aaca8c', X'da42b1b40785ca1e22e034ee7f7c1d032865e2a5a4e4b18cb317cb1eaeec5d8b');
INSERT INTO setting (name, value) VALUES ('min_reader', '1000');
INSERT INTO setting (name, value) VALUES ('origin', 'e221d99b45e66b975a575e95ad2c1a9f');
INSERT INTO state (name, value) VALUES ('state_version', 0);
CREATE INDEX event_order ON event (at_ms, origin, seq);
CREATE INDEX event_register ON event (entered_ms, origin, seq) WHERE kind = 'register_change';
CREATE TRIGGER event_no_update BEFORE UPDATE ON event
BEGIN SELECT RAISE(ABORT, 'an event is never changed: amend it with a new one'); END;
CREATE TRIGGER event_no_delete BEFORE DELETE ON event
BEGIN SELECT RAISE(ABORT, 'an event is never deleted'); END;
CREATE INDEX thing_code ON thing (entity, code);
CREATE INDEX gauge_fault_gauge ON gauge_fault (gauge, at_ms);
CREATE INDEX stay_bearing ON stay (bearing, from_ms);
CREATE INDEX stay_chock ON stay (chock, from_ms);
CREATE INDEX pair_outer ON pair (outer_half);
CREATE INDEX pair_inner ON pair (inner_half);
CREATE INDEX run_roll ON run (roll, from_ms) WHERE is_estimate = 0;
CREATE INDEX run_position ON run (position, from_ms) WHERE is_estimate = 0;
CREATE INDEX sheet_bearing ON sheet (bearing);
CREATE INDEX sheet_chock ON sheet (chock);
CREATE INDEX sheet_mark_sheet ON sheet_mark (sheet);
CREATE INDEX reading_gauge ON reading (gauge);
CREATE INDEX document_thing ON document (thing);
CREATE INDEX amended_event ON amended (event);
CREATE INDEX conflict_event ON conflict (event);
COMMIT;
