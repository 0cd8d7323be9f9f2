// SPDX-License-Identifier: Apache-2.0
#include "schema.hpp"

#include <array>

#include "bakewright/book/book.hpp"
#include "identity.hpp"
#include "journal.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kVersion1 = R"sql(
CREATE TABLE document (
    document_id INTEGER PRIMARY KEY AUTOINCREMENT,
    kind        TEXT NOT NULL CHECK (kind <> ''),
    name        TEXT NOT NULL,
    title       TEXT NOT NULL,
    text        TEXT NOT NULL,
    sha256      TEXT NOT NULL CHECK (length(sha256) = 64),
    stored_at   TEXT NOT NULL,
    UNIQUE (kind, sha256)
) STRICT;

CREATE TABLE raw_file (
    raw_file_id   INTEGER PRIMARY KEY AUTOINCREMENT,
    original_name TEXT NOT NULL,
    sha256        TEXT NOT NULL UNIQUE CHECK (length(sha256) = 64),
    size_bytes    INTEGER NOT NULL CHECK (size_bytes >= 0),
    stored_at     TEXT NOT NULL
) STRICT;

CREATE TABLE raw_file_piece (
    raw_file_id INTEGER NOT NULL REFERENCES raw_file ON DELETE CASCADE,
    position    INTEGER NOT NULL,
    size_bytes  INTEGER NOT NULL CHECK (size_bytes > 0),
    data        BLOB NOT NULL,
    UNIQUE (raw_file_id, position)
) STRICT;

CREATE TABLE bake (
    bake_id         INTEGER PRIMARY KEY AUTOINCREMENT,
    uid             TEXT NOT NULL UNIQUE CHECK (length(uid) = 32),
    kind            TEXT NOT NULL CHECK (kind IN ('predicted', 'logged')),
    title           TEXT NOT NULL,
    created_at      TEXT NOT NULL
        CHECK (created_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'),
    started_at      TEXT NOT NULL,
    paired_bake_id  INTEGER REFERENCES bake ON DELETE SET NULL,
    program_version TEXT NOT NULL,
    options_json    TEXT NOT NULL,
    note            TEXT NOT NULL
) STRICT;
CREATE INDEX bake_by_time ON bake (created_at);
CREATE INDEX bake_by_kind ON bake (kind, created_at);
CREATE INDEX bake_by_pair ON bake (paired_bake_id) WHERE paired_bake_id IS NOT NULL;

CREATE TABLE bake_document (
    bake_id     INTEGER NOT NULL REFERENCES bake ON DELETE CASCADE,
    position    INTEGER NOT NULL,
    document_id INTEGER NOT NULL REFERENCES document,
    PRIMARY KEY (bake_id, position),
    UNIQUE (bake_id, document_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX bake_document_by_document ON bake_document (document_id);

CREATE TABLE bake_log (
    bake_id              INTEGER NOT NULL REFERENCES bake ON DELETE CASCADE,
    position             INTEGER NOT NULL,
    raw_file_id          INTEGER NOT NULL REFERENCES raw_file,
    reading_options_json TEXT NOT NULL,
    PRIMARY KEY (bake_id, position)
) STRICT, WITHOUT ROWID;
CREATE INDEX bake_log_by_raw_file ON bake_log (raw_file_id);

CREATE TABLE trace (
    trace_id           INTEGER PRIMARY KEY,
    bake_id            INTEGER NOT NULL REFERENCES bake ON DELETE CASCADE,
    position           INTEGER NOT NULL,
    name               TEXT NOT NULL,
    role               TEXT NOT NULL,
    sample_count       INTEGER NOT NULL CHECK (sample_count >= 0),
    usable_count       INTEGER NOT NULL CHECK (usable_count BETWEEN 0 AND sample_count),
    first_time_s       REAL,
    last_time_s        REAL,
    min_temperature_k  REAL,
    max_temperature_k  REAL,
    mean_temperature_k REAL,
    UNIQUE (bake_id, position),
    UNIQUE (bake_id, name)
) STRICT;

CREATE TABLE trace_block (
    trace_id     INTEGER NOT NULL REFERENCES trace ON DELETE CASCADE,
    position     INTEGER NOT NULL,
    sample_count INTEGER NOT NULL CHECK (sample_count > 0),
    codec        INTEGER NOT NULL,
    sha256       TEXT NOT NULL CHECK (length(sha256) = 64),
    data         BLOB NOT NULL,
    UNIQUE (trace_id, position)
) STRICT;

CREATE VIEW traces AS
SELECT bake_id, bake.title AS bake_title, name AS trace, role, sample_count, usable_count,
       round(first_time_s / 60, 2) AS first_time_min,
       round(last_time_s / 60, 2) AS last_time_min,
       round(min_temperature_k - 273.15, 2) AS min_temperature_c,
       round(mean_temperature_k - 273.15, 2) AS mean_temperature_c,
       round(max_temperature_k - 273.15, 2) AS max_temperature_c,
       (SELECT coalesce(sum(length(data)), 0) FROM trace_block WHERE trace_block.trace_id = trace.trace_id) AS stored_bytes
FROM trace JOIN bake USING (bake_id)
ORDER BY bake_id, position;

CREATE VIEW bake_documents AS
SELECT bake_id, bake.title AS bake_title, document.kind, name, document.title, sha256, stored_at AS stored_at_utc, text
FROM bake_document JOIN bake USING (bake_id) JOIN document USING (document_id)
ORDER BY bake_id, position;

CREATE VIEW bake_logs AS
SELECT bake_id, bake.title AS bake_title, original_name, size_bytes,
       (SELECT coalesce(sum(length(data)), 0) FROM raw_file_piece WHERE raw_file_piece.raw_file_id = raw_file.raw_file_id)
           AS stored_bytes,
       sha256, stored_at AS stored_at_utc, reading_options_json
FROM bake_log JOIN bake USING (bake_id) JOIN raw_file USING (raw_file_id)
ORDER BY bake_id, position;

CREATE VIEW bakes AS
SELECT bake_id, kind, title, created_at AS created_at_utc, nullif(started_at, '') AS started_at,
       (SELECT CASE document.title WHEN '' THEN name ELSE document.title END FROM bake_document JOIN document USING (document_id)
        WHERE bake_document.bake_id = bake.bake_id AND document.kind = 'shell' ORDER BY position LIMIT 1) AS shell,
       (SELECT CASE document.title WHEN '' THEN name ELSE document.title END FROM bake_document JOIN document USING (document_id)
        WHERE bake_document.bake_id = bake.bake_id AND document.kind = 'booth' ORDER BY position LIMIT 1) AS booth,
       (SELECT CASE document.title WHEN '' THEN name ELSE document.title END FROM bake_document JOIN document USING (document_id)
        WHERE bake_document.bake_id = bake.bake_id AND document.kind = 'cycle' ORDER BY position LIMIT 1) AS cycle,
       (SELECT CASE document.title WHEN '' THEN name ELSE document.title END FROM bake_document JOIN document USING (document_id)
        WHERE bake_document.bake_id = bake.bake_id AND document.kind = 'coating' ORDER BY position LIMIT 1) AS coating,
       (SELECT original_name FROM bake_log JOIN raw_file USING (raw_file_id)
        WHERE bake_log.bake_id = bake.bake_id ORDER BY position LIMIT 1) AS log_file,
       paired_bake_id,
       (SELECT count(*) FROM trace WHERE trace.bake_id = bake.bake_id) AS trace_count,
       (SELECT round(max(last_time_s) / 60, 2) FROM trace WHERE trace.bake_id = bake.bake_id) AS end_min,
       (SELECT round(max(max_temperature_k) - 273.15, 2) FROM trace
        WHERE trace.bake_id = bake.bake_id AND role = 'zone') AS hottest_zone_c,
       program_version, note
FROM bake
ORDER BY created_at DESC, bake_id DESC;
)sql";

/// The history of a shell: coats by zone, and which bakes it went through. A bake in a history is not removed with a bake's own
/// rows.
constexpr std::string_view kVersion2 = R"sql(
CREATE TABLE coat (
    coat_id     INTEGER PRIMARY KEY AUTOINCREMENT,
    shell       TEXT NOT NULL CHECK (shell <> ''),
    name        TEXT NOT NULL CHECK (name <> ''),
    document_id INTEGER NOT NULL REFERENCES document,
    applied_at  TEXT NOT NULL
        CHECK (applied_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]'),
    lies_on     TEXT NOT NULL,
    sanded_at   TEXT
        CHECK (sanded_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]'),
    note        TEXT NOT NULL
) STRICT;
CREATE INDEX coat_by_shell ON coat (shell, applied_at);
CREATE INDEX coat_by_document ON coat (document_id);

CREATE TABLE coat_zone (
    coat_id  INTEGER NOT NULL REFERENCES coat ON DELETE CASCADE,
    position INTEGER NOT NULL,
    zone     TEXT NOT NULL CHECK (zone <> ''),
    PRIMARY KEY (coat_id, position),
    UNIQUE (coat_id, zone)
) STRICT, WITHOUT ROWID;

CREATE TABLE history_bake (
    shell    TEXT NOT NULL CHECK (shell <> ''),
    bake_id  INTEGER NOT NULL REFERENCES bake,
    began_at TEXT NOT NULL
        CHECK (began_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]'),
    PRIMARY KEY (shell, bake_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX history_bake_by_bake ON history_bake (bake_id);

CREATE TABLE history_bake_zone (
    shell    TEXT NOT NULL,
    bake_id  INTEGER NOT NULL,
    position INTEGER NOT NULL,
    zone     TEXT NOT NULL CHECK (zone <> ''),
    PRIMARY KEY (shell, bake_id, position),
    UNIQUE (shell, bake_id, zone),
    FOREIGN KEY (shell, bake_id) REFERENCES history_bake ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

CREATE TABLE history_bake_item (
    shell    TEXT NOT NULL,
    bake_id  INTEGER NOT NULL,
    position INTEGER NOT NULL,
    item     TEXT NOT NULL CHECK (item <> ''),
    PRIMARY KEY (shell, bake_id, position),
    UNIQUE (shell, bake_id, item),
    FOREIGN KEY (shell, bake_id) REFERENCES history_bake ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

CREATE VIEW coats AS
SELECT coat_id, shell, coat.name AS coat, CASE document.title WHEN '' THEN document.name ELSE document.title END AS coating,
       applied_at, lies_on, sanded_at,
       (SELECT group_concat(zone, ', ') FROM (SELECT zone FROM coat_zone WHERE coat_zone.coat_id = coat.coat_id ORDER BY position))
           AS zones, note
FROM coat JOIN document USING (document_id)
ORDER BY shell, applied_at, coat_id;

CREATE VIEW history AS
SELECT shell, began_at, bake_id, kind, title AS bake_title,
       (SELECT group_concat(zone, ', ') FROM (SELECT zone FROM history_bake_zone
        WHERE history_bake_zone.shell = history_bake.shell AND history_bake_zone.bake_id = history_bake.bake_id ORDER BY position))
           AS zones,
       (SELECT group_concat(item, ', ') FROM (SELECT item FROM history_bake_item
        WHERE history_bake_item.shell = history_bake.shell AND history_bake_item.bake_id = history_bake.bake_id ORDER BY position))
           AS items_aboard
FROM history_bake JOIN bake USING (bake_id)
ORDER BY shell, began_at, bake_id;
)sql";

/// What the book's rows were, each time the program changed them; and the book's own identity.
constexpr std::string_view kVersion3 = R"sql(
CREATE TABLE journal (
    entry_id        INTEGER PRIMARY KEY AUTOINCREMENT,
    kind            TEXT NOT NULL,
    identity        TEXT NOT NULL,
    shell           TEXT NOT NULL,
    number          INTEGER NOT NULL,
    label           TEXT NOT NULL,
    rows            TEXT,
    written_at      TEXT NOT NULL
        CHECK (written_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'),
    book_uid        TEXT NOT NULL CHECK (length(book_uid) = 32),
    why             TEXT NOT NULL,
    previous_sha256 TEXT NOT NULL,
    entry_sha256    TEXT NOT NULL UNIQUE CHECK (length(entry_sha256) = 64)
) STRICT;
CREATE INDEX journal_by_identity ON journal (kind, identity);
CREATE INDEX journal_by_shell ON journal (shell) WHERE shell <> '';
CREATE TRIGGER journal_is_not_changed BEFORE UPDATE ON journal
BEGIN SELECT RAISE(ABORT, 'the journal is only added to'); END;
CREATE TRIGGER journal_is_not_shortened BEFORE DELETE ON journal
BEGIN SELECT RAISE(ABORT, 'the journal is only added to'); END;

-- Other uids of a bake: the same log was brought in here and in a book that was merged.
CREATE TABLE bake_alias (
    uid     TEXT PRIMARY KEY CHECK (length(uid) = 32),
    bake_id INTEGER NOT NULL REFERENCES bake ON DELETE CASCADE
) STRICT, WITHOUT ROWID;
CREATE INDEX bake_alias_by_bake ON bake_alias (bake_id);

-- A log that was read again: its bake has the new reading, the one before is a bake of its own that is marked here as replaced.
CREATE TABLE earlier_reading (
    bake_id     INTEGER PRIMARY KEY REFERENCES bake ON DELETE CASCADE,
    of_bake_id  INTEGER NOT NULL REFERENCES bake,
    replaced_at TEXT NOT NULL
        CHECK (replaced_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'),
    replaced_by TEXT NOT NULL,
    why         TEXT NOT NULL CHECK (why <> '')
) STRICT;
CREATE INDEX earlier_reading_by_bake ON earlier_reading (of_bake_id);

CREATE VIEW earlier_readings AS
SELECT of_bake_id AS bake_id, earlier_reading.bake_id AS earlier_bake_id, title AS bake_title, replaced_at AS replaced_at_utc,
       replaced_by, why
FROM earlier_reading JOIN bake ON bake.bake_id = earlier_reading.of_bake_id
ORDER BY of_bake_id, replaced_at;

CREATE TABLE book (
    one            INTEGER PRIMARY KEY CHECK (one = 1),
    uid            TEXT NOT NULL CHECK (length(uid) = 32),
    journal_sha256 TEXT NOT NULL
) STRICT;
)sql";

/// What people measured and found by hand; values are SI: kelvin, metres, seconds. What a history belongs to, and where books are
/// kept.
constexpr std::string_view kVersion4 = R"sql(
-- The vehicle whose history goes by a name here. Its uid is the same in every book; names may be others elsewhere.
CREATE TABLE vehicle (
    uid          TEXT PRIMARY KEY CHECK (length(uid) = 32),
    shell        TEXT NOT NULL UNIQUE CHECK (shell <> ''),
    job_number   TEXT NOT NULL,
    maker_number TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- What the shop calls the place where a book is kept.
CREATE TABLE site (
    book_uid TEXT PRIMARY KEY CHECK (length(book_uid) = 32),
    name     TEXT NOT NULL CHECK (name <> '')
) STRICT, WITHOUT ROWID;

CREATE TABLE hand_note (
    uid                     TEXT PRIMARY KEY CHECK (length(uid) = 32),
    bake_id                 INTEGER NOT NULL REFERENCES bake ON DELETE CASCADE,
    zone                    TEXT NOT NULL CHECK (zone <> ''),
    kind                    TEXT NOT NULL CHECK (kind IN ('temperature', 'cure_test', 'film_build')),
    method                  TEXT NOT NULL CHECK (method <> ''),
    time_s                  REAL,
    value_si                REAL,
    standard_uncertainty_si REAL CHECK (standard_uncertainty_si > 0),
    found                   TEXT NOT NULL CHECK (found IN ('', 'hard', 'soft')),
    noted_by                TEXT NOT NULL,
    noted_at                TEXT NOT NULL
        CHECK (noted_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'),
    note                    TEXT NOT NULL,
    CHECK ((kind = 'cure_test') = (found <> '') AND (kind = 'cure_test') = (value_si IS NULL)),
    CHECK (kind = 'film_build' OR time_s IS NOT NULL)
) STRICT, WITHOUT ROWID;
CREATE INDEX hand_note_by_bake ON hand_note (bake_id);
CREATE INDEX hand_note_by_kind ON hand_note (kind, bake_id);

CREATE VIEW hand_notes AS
SELECT hand_note.uid AS note_uid, bake_id, bake.title AS bake_title, zone, hand_note.kind, method,
       CASE hand_note.kind WHEN 'temperature' THEN round(time_s / 60, 2) END AS minute_of_bake,
       CASE hand_note.kind WHEN 'cure_test' THEN round(time_s / 3600, 2) END AS hours_after_bake,
       CASE hand_note.kind WHEN 'temperature' THEN round(value_si - 273.15, 2) END AS temperature_c,
       CASE hand_note.kind WHEN 'film_build' THEN round(value_si * 1e6, 1) END AS film_build_um,
       nullif(found, '') AS found, noted_by, noted_at AS noted_at_utc, hand_note.note
FROM hand_note JOIN bake USING (bake_id)
ORDER BY bake_id, hand_note.kind, time_s, hand_note.noted_at, hand_note.uid;
)sql";

/// Logs that are recorded live: their bake is there from the first sample on and its traces grow. recorded_sample and
/// recorded_event hold what came since the traces were last brought up to date; they and recorder change with every few seconds
/// and are no part of the journal.
constexpr std::string_view kVersion5 = R"sql(
CREATE TABLE recording (
    bake_id   INTEGER PRIMARY KEY REFERENCES bake ON DELETE CASCADE,
    booth     TEXT NOT NULL CHECK (booth <> ''),
    began_at  TEXT NOT NULL
        CHECK (began_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z'),
    sealed_at TEXT
        CHECK (sealed_at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]Z')
) STRICT;
CREATE INDEX recording_open ON recording (booth) WHERE sealed_at IS NULL;

CREATE TABLE recording_channel (
    bake_id  INTEGER NOT NULL REFERENCES recording ON DELETE CASCADE,
    position INTEGER NOT NULL,
    name     TEXT NOT NULL CHECK (name <> ''),
    role     TEXT NOT NULL,
    source   TEXT NOT NULL,
    PRIMARY KEY (bake_id, position),
    UNIQUE (bake_id, name)
) STRICT, WITHOUT ROWID;

CREATE TABLE recording_event (
    bake_id  INTEGER NOT NULL REFERENCES recording ON DELETE CASCADE,
    position INTEGER NOT NULL,
    time_s   REAL NOT NULL,
    kind     TEXT NOT NULL CHECK (kind <> ''),
    source   TEXT NOT NULL,
    channel  TEXT NOT NULL,
    lasts_s  REAL NOT NULL,
    count    INTEGER NOT NULL CHECK (count >= 0),
    what     TEXT NOT NULL,
    PRIMARY KEY (bake_id, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE recorded_sample (
    bake_id       INTEGER NOT NULL REFERENCES recording ON DELETE CASCADE,
    channel       INTEGER NOT NULL,
    time_s        REAL NOT NULL,
    temperature_k REAL,
    quality       INTEGER NOT NULL CHECK (quality >= 0),
    PRIMARY KEY (bake_id, channel, time_s)
) STRICT, WITHOUT ROWID;

CREATE TABLE recorded_event (
    bake_id  INTEGER NOT NULL REFERENCES recording ON DELETE CASCADE,
    position INTEGER NOT NULL,
    time_s   REAL NOT NULL,
    kind     TEXT NOT NULL CHECK (kind <> ''),
    source   TEXT NOT NULL,
    channel  TEXT NOT NULL,
    lasts_s  REAL NOT NULL,
    count    INTEGER NOT NULL CHECK (count >= 0),
    what     TEXT NOT NULL,
    PRIMARY KEY (bake_id, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE recorder (
    bake_id  INTEGER PRIMARY KEY REFERENCES recording ON DELETE CASCADE,
    boot_id  TEXT NOT NULL,
    zero_s   REAL NOT NULL,
    latest_s REAL NOT NULL,
    kept_at  TEXT NOT NULL
) STRICT;

CREATE VIEW recordings AS
SELECT bake_id, bake.title AS bake_title, recording.booth, began_at AS began_at_utc, sealed_at AS sealed_at_utc,
       (SELECT count(*) FROM recording_channel AS c WHERE c.bake_id = recording.bake_id) AS channels,
       (SELECT count(*) FROM recording_event AS e WHERE e.bake_id = recording.bake_id) AS events
FROM recording JOIN bake USING (bake_id)
ORDER BY began_at DESC, bake_id DESC;

CREATE VIEW recording_events AS
SELECT bake_id, bake.title AS bake_title, round(time_s / 60, 2) AS minute_of_bake, recording_event.kind, source, channel,
       lasts_s, count AS samples, what
FROM recording_event JOIN bake USING (bake_id)
ORDER BY bake_id, position;
)sql";

constexpr std::array kMigrations = {Migration{.version = 1, .sql = kVersion1}, Migration{.version = 2, .sql = kVersion2},
                                    Migration{.version = 3, .sql = kVersion3, .after = begin_journal},
                                    Migration{.version = 4, .sql = kVersion4, .after = name_vehicles},
                                    Migration{.version = 5, .sql = kVersion5}};

}  // namespace

std::span<const Migration> schema_migrations() noexcept { return kMigrations; }

int newest_schema_version() noexcept { return kMigrations.back().version; }

}  // namespace bakewright::book
