-- The whole model: books that inherit, terms of suppliers, quantity breaks, quotes for one job,
-- wages built from components, the crew's own rates, index series; and who may call, what was
-- written by whom, and answers kept for a repeated request.
--
-- A price is known by its book, item, supplier, day, quantity from which it holds and the job it was
-- quoted for; a later revision with the same five corrects it, and one without a price takes it back.

ALTER TABLE book ADD COLUMN inherits TEXT REFERENCES book (code);

ALTER TABLE setting ADD COLUMN price_age_days INTEGER NOT NULL DEFAULT 180 CHECK (price_age_days >= 1);

ALTER TABLE supplier_version ADD COLUMN minimum_order_e4 INTEGER CHECK (minimum_order_e4 >= 0);

-- What a supplier charges by the size of a load (key: yd3 below which it is charged, in
-- ten-thousandths) and by zone (key: name of the zone).
CREATE TABLE supplier_charge (
    book     TEXT   NOT NULL,
    code     TEXT   NOT NULL,
    revision INTEGER NOT NULL,
    kind     TEXT   NOT NULL CHECK (kind IN ('short_load', 'zone')),
    key      TEXT   NOT NULL CHECK (key <> ''),
    fee_e4   INTEGER NOT NULL CHECK (fee_e4 >= 0),
    PRIMARY KEY (book, code, revision, kind, key),
    FOREIGN KEY (book, code, revision) REFERENCES supplier_version (book, code, revision)
) STRICT;

ALTER TABLE item_version ADD COLUMN preferred_supplier TEXT CHECK (preferred_supplier <> '');
ALTER TABLE item_version ADD COLUMN index_series TEXT CHECK (index_series <> '');

CREATE TABLE price_by_quantity (
    book             TEXT   NOT NULL,
    item             TEXT   NOT NULL,
    supplier         TEXT   NOT NULL,
    effective_from   TEXT   NOT NULL CHECK (effective_from LIKE '____-__-__'),
    from_quantity_e4 INTEGER NOT NULL CHECK (from_quantity_e4 >= 0),
    quoted_for       TEXT   NOT NULL,
    revision         INTEGER NOT NULL,
    unit_price_e4    INTEGER CHECK (unit_price_e4 >= 0),
    valid_until      TEXT   CHECK (valid_until LIKE '____-__-__' AND valid_until >= effective_from),
    PRIMARY KEY (book, item, supplier, effective_from, from_quantity_e4, quoted_for, revision),
    FOREIGN KEY (book, item) REFERENCES item (book, code),
    FOREIGN KEY (book, supplier) REFERENCES supplier (book, code),
    FOREIGN KEY (book, revision) REFERENCES revision (book, number)
) STRICT;
INSERT INTO price_by_quantity
    SELECT book, item, supplier, effective_from, 0, '', revision, unit_price_e4, NULL FROM price;
DROP TABLE price;
ALTER TABLE price_by_quantity RENAME TO price;

-- Replicas read what came after the revision that they know.
CREATE INDEX price_by_revision ON price (book, revision);
CREATE INDEX item_by_revision ON item_version (book, revision);

-- A class of a wage schedule from a day on. The premium is a part of the base, paid for each hour
-- above the week's limit beside the hour itself.
CREATE TABLE wage (
    book           TEXT   NOT NULL,
    schedule       TEXT   NOT NULL CHECK (schedule <> ''),
    class          TEXT   NOT NULL CHECK (class <> ''),
    effective_from TEXT   NOT NULL CHECK (effective_from LIKE '____-__-__'),
    revision       INTEGER NOT NULL,
    base_e4        INTEGER NOT NULL CHECK (base_e4 >= 0),
    fringe_e4      INTEGER NOT NULL CHECK (fringe_e4 >= 0),
    premium_e6     INTEGER NOT NULL CHECK (premium_e6 >= 0),
    PRIMARY KEY (book, schedule, class, effective_from, revision),
    FOREIGN KEY (book, revision) REFERENCES revision (book, number)
) STRICT;

-- What comes on top of a wage: a part of the base, or money for each hour.
CREATE TABLE wage_burden (
    book           TEXT   NOT NULL,
    schedule       TEXT   NOT NULL,
    class          TEXT   NOT NULL,
    effective_from TEXT   NOT NULL,
    revision       INTEGER NOT NULL,
    name           TEXT   NOT NULL CHECK (name <> ''),
    share_e6       INTEGER CHECK (share_e6 >= 0),
    hourly_e4      INTEGER CHECK (hourly_e4 >= 0),
    on_premium     INTEGER NOT NULL CHECK (on_premium IN (0, 1)),
    PRIMARY KEY (book, schedule, class, effective_from, revision, name),
    FOREIGN KEY (book, schedule, class, effective_from, revision)
        REFERENCES wage (book, schedule, class, effective_from, revision),
    CHECK ((share_e6 IS NULL) <> (hourly_e4 IS NULL)),
    CHECK (on_premium = 0 OR share_e6 IS NOT NULL)
) STRICT;

-- What a task takes this crew, in minutes; in place of the built-in row of that task. A row without
-- figures gives the built-in row back.
CREATE TABLE own_rate (
    book      TEXT   NOT NULL,
    task      TEXT   NOT NULL CHECK (task <> ''),
    revision  INTEGER NOT NULL,
    setup_e4  INTEGER CHECK (setup_e4 >= 0),
    low_e4    INTEGER CHECK (low_e4 >= 0),
    likely_e4 INTEGER,
    high_e4   INTEGER,
    PRIMARY KEY (book, task, revision),
    FOREIGN KEY (book, revision) REFERENCES revision (book, number),
    CHECK ((setup_e4 IS NULL) = (low_e4 IS NULL) AND (low_e4 IS NULL) = (likely_e4 IS NULL)
        AND (likely_e4 IS NULL) = (high_e4 IS NULL)),
    CHECK (low_e4 <= likely_e4 AND likely_e4 <= high_e4)
) STRICT;

-- A price index by month; what it says of a month may be corrected in a later revision.
CREATE TABLE index_value (
    book     TEXT   NOT NULL,
    series   TEXT   NOT NULL CHECK (series <> ''),
    month    TEXT   NOT NULL CHECK (month LIKE '____-__'),
    revision INTEGER NOT NULL,
    value_e4 INTEGER NOT NULL CHECK (value_e4 > 0),
    PRIMARY KEY (book, series, month, revision),
    FOREIGN KEY (book, revision) REFERENCES revision (book, number)
) STRICT;

-- Who may call. The key itself is never stored, only its SHA-256 in hexadecimal; the public part
-- `id` stands in lists and in the audit. `revoked_at` is set once.
CREATE TABLE access_key (
    id         TEXT   NOT NULL PRIMARY KEY CHECK (id <> ''),
    name       TEXT   NOT NULL CHECK (name <> ''),
    role       TEXT   NOT NULL CHECK (role IN ('cell', 'estimate', 'prices', 'deliver', 'admin')),
    hash       TEXT   NOT NULL UNIQUE CHECK (length(hash) = 64),
    per_minute INTEGER CHECK (per_minute >= 1),
    made_at    TEXT   NOT NULL CHECK (made_at LIKE '____-__-__T__:__:__%Z'),
    revoked_at TEXT   CHECK (revoked_at LIKE '____-__-__T__:__:__%Z')
) STRICT;

-- Counts every change of `access_key`, so that a replica sees with one small read that it is behind.
CREATE TABLE access_version (
    one     INTEGER NOT NULL PRIMARY KEY CHECK (one = 1),
    version INTEGER NOT NULL CHECK (version >= 0)
) STRICT;
INSERT INTO access_version (one, version) VALUES (1, 0);

-- What was written by whom; a row is written in the transaction of what it tells of.
CREATE TABLE audit (
    id       TEXT   NOT NULL PRIMARY KEY CHECK (id <> ''),
    at       TEXT   NOT NULL CHECK (at LIKE '____-__-__T__:__:__%Z'),
    caller   TEXT   NOT NULL CHECK (caller <> ''),
    action   TEXT   NOT NULL CHECK (action <> ''),
    target   TEXT   NOT NULL CHECK (target <> ''),
    book     TEXT,
    revision INTEGER,
    request  TEXT,
    CHECK ((book IS NULL) = (revision IS NULL))
) STRICT;
CREATE INDEX audit_by_time ON audit (at, id);

-- Answers kept for a repeated request, by caller and key. A row without `status` is a request that
-- is being done; it is taken over when its maker is gone. The only table from which rows go.
CREATE TABLE idempotency (
    caller  TEXT   NOT NULL,
    key     TEXT   NOT NULL CHECK (length(key) BETWEEN 1 AND 255),
    request TEXT   NOT NULL CHECK (length(request) = 64),
    owner   TEXT   NOT NULL,
    made_at TEXT   NOT NULL CHECK (made_at LIKE '____-__-__T__:__:__%Z'),
    status  INTEGER,
    headers TEXT,
    body    TEXT,
    PRIMARY KEY (caller, key),
    CHECK ((status IS NULL) = (headers IS NULL) AND (status IS NULL) = (body IS NULL))
) STRICT;
CREATE INDEX idempotency_by_time ON idempotency (made_at);

CREATE TRIGGER supplier_charge_is_never_changed BEFORE UPDATE ON supplier_charge
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER supplier_charge_stays BEFORE DELETE ON supplier_charge
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER price_is_never_changed BEFORE UPDATE ON price
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER price_stays BEFORE DELETE ON price
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER wage_is_never_changed BEFORE UPDATE ON wage
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER wage_stays BEFORE DELETE ON wage
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER wage_burden_is_never_changed BEFORE UPDATE ON wage_burden
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER wage_burden_stays BEFORE DELETE ON wage_burden
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER own_rate_is_never_changed BEFORE UPDATE ON own_rate
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER own_rate_stays BEFORE DELETE ON own_rate
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER index_value_is_never_changed BEFORE UPDATE ON index_value
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER index_value_stays BEFORE DELETE ON index_value
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER audit_is_never_changed BEFORE UPDATE ON audit
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER audit_stays BEFORE DELETE ON audit
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

CREATE TRIGGER access_key_is_only_revoked BEFORE UPDATE ON access_key
WHEN NEW.id <> OLD.id OR NEW.name <> OLD.name OR NEW.role <> OLD.role OR NEW.hash <> OLD.hash
    OR NEW.per_minute IS NOT OLD.per_minute OR NEW.made_at <> OLD.made_at OR OLD.revoked_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a key is only ever revoked'); END;

CREATE TRIGGER access_key_stays BEFORE DELETE ON access_key
BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

DROP TRIGGER book_counts_up;
CREATE TRIGGER book_counts_up BEFORE UPDATE ON book
WHEN NEW.code <> OLD.code OR NEW.name <> OLD.name OR NEW.currency <> OLD.currency OR NEW.demo <> OLD.demo
    OR NEW.inherits IS NOT OLD.inherits OR NEW.latest <> OLD.latest + 1
BEGIN SELECT RAISE(ABORT, 'a book counts its revisions one by one'); END;
