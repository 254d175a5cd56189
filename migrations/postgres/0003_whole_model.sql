-- The whole model: books that inherit, terms of suppliers, quantity breaks, quotes for one job,
-- wages built from components, the crew's own rates, index series; and who may call, what was
-- written by whom, and answers kept for a repeated request.
--
-- A price is known by its book, item, supplier, day, quantity from which it holds and the job it was
-- quoted for; a later revision with the same five corrects it, and one without a price takes it back.

ALTER TABLE book ADD COLUMN inherits TEXT REFERENCES book (code);

ALTER TABLE setting ADD COLUMN price_age_days BIGINT NOT NULL DEFAULT 180 CHECK (price_age_days >= 1);

ALTER TABLE supplier_version ADD COLUMN minimum_order_e4 BIGINT CHECK (minimum_order_e4 >= 0);

-- What a supplier charges by the size of a load (key: yd3 below which it is charged, in
-- ten-thousandths) and by zone (key: name of the zone).
CREATE TABLE supplier_charge (
    book     TEXT   NOT NULL,
    code     TEXT   NOT NULL,
    revision BIGINT NOT NULL,
    kind     TEXT   NOT NULL CHECK (kind IN ('short_load', 'zone')),
    key      TEXT   NOT NULL CHECK (key <> ''),
    fee_e4   BIGINT NOT NULL CHECK (fee_e4 >= 0),
    PRIMARY KEY (book, code, revision, kind, key),
    FOREIGN KEY (book, code, revision) REFERENCES supplier_version (book, code, revision)
);

ALTER TABLE item_version ADD COLUMN preferred_supplier TEXT CHECK (preferred_supplier <> '');
ALTER TABLE item_version ADD COLUMN index_series TEXT CHECK (index_series <> '');

ALTER TABLE price ADD COLUMN from_quantity_e4 BIGINT NOT NULL DEFAULT 0 CHECK (from_quantity_e4 >= 0);
ALTER TABLE price ADD COLUMN quoted_for TEXT NOT NULL DEFAULT '';
ALTER TABLE price ADD COLUMN valid_until TEXT
    CHECK (valid_until LIKE '____-__-__' AND valid_until >= effective_from);
ALTER TABLE price ALTER COLUMN from_quantity_e4 DROP DEFAULT;
ALTER TABLE price ALTER COLUMN quoted_for DROP DEFAULT;
ALTER TABLE price ALTER COLUMN unit_price_e4 DROP NOT NULL;
ALTER TABLE price DROP CONSTRAINT price_pkey;
ALTER TABLE price ADD PRIMARY KEY
    (book, item, supplier, effective_from, from_quantity_e4, quoted_for, revision);

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
    revision       BIGINT NOT NULL,
    base_e4        BIGINT NOT NULL CHECK (base_e4 >= 0),
    fringe_e4      BIGINT NOT NULL CHECK (fringe_e4 >= 0),
    premium_e6     BIGINT NOT NULL CHECK (premium_e6 >= 0),
    PRIMARY KEY (book, schedule, class, effective_from, revision),
    FOREIGN KEY (book, revision) REFERENCES revision (book, number)
);

-- What comes on top of a wage: a part of the base, or money for each hour.
CREATE TABLE wage_burden (
    book           TEXT   NOT NULL,
    schedule       TEXT   NOT NULL,
    class          TEXT   NOT NULL,
    effective_from TEXT   NOT NULL,
    revision       BIGINT NOT NULL,
    name           TEXT   NOT NULL CHECK (name <> ''),
    share_e6       BIGINT CHECK (share_e6 >= 0),
    hourly_e4      BIGINT CHECK (hourly_e4 >= 0),
    on_premium     BIGINT NOT NULL CHECK (on_premium IN (0, 1)),
    PRIMARY KEY (book, schedule, class, effective_from, revision, name),
    FOREIGN KEY (book, schedule, class, effective_from, revision)
        REFERENCES wage (book, schedule, class, effective_from, revision),
    CHECK ((share_e6 IS NULL) <> (hourly_e4 IS NULL)),
    CHECK (on_premium = 0 OR share_e6 IS NOT NULL)
);

-- What a task takes this crew, in minutes; in place of the built-in row of that task. A row without
-- figures gives the built-in row back.
CREATE TABLE own_rate (
    book      TEXT   NOT NULL,
    task      TEXT   NOT NULL CHECK (task <> ''),
    revision  BIGINT NOT NULL,
    setup_e4  BIGINT CHECK (setup_e4 >= 0),
    low_e4    BIGINT CHECK (low_e4 >= 0),
    likely_e4 BIGINT,
    high_e4   BIGINT,
    PRIMARY KEY (book, task, revision),
    FOREIGN KEY (book, revision) REFERENCES revision (book, number),
    CHECK ((setup_e4 IS NULL) = (low_e4 IS NULL) AND (low_e4 IS NULL) = (likely_e4 IS NULL)
        AND (likely_e4 IS NULL) = (high_e4 IS NULL)),
    CHECK (low_e4 <= likely_e4 AND likely_e4 <= high_e4)
);

-- A price index by month; what it says of a month may be corrected in a later revision.
CREATE TABLE index_value (
    book     TEXT   NOT NULL,
    series   TEXT   NOT NULL CHECK (series <> ''),
    month    TEXT   NOT NULL CHECK (month LIKE '____-__'),
    revision BIGINT NOT NULL,
    value_e4 BIGINT NOT NULL CHECK (value_e4 > 0),
    PRIMARY KEY (book, series, month, revision),
    FOREIGN KEY (book, revision) REFERENCES revision (book, number)
);

-- Who may call. The key itself is never stored, only its SHA-256 in hexadecimal; the public part
-- `id` stands in lists and in the audit. `revoked_at` is set once.
CREATE TABLE access_key (
    id         TEXT   NOT NULL PRIMARY KEY CHECK (id <> ''),
    name       TEXT   NOT NULL CHECK (name <> ''),
    role       TEXT   NOT NULL CHECK (role IN ('cell', 'estimate', 'prices', 'deliver', 'admin')),
    hash       TEXT   NOT NULL UNIQUE CHECK (length(hash) = 64),
    per_minute BIGINT CHECK (per_minute >= 1),
    made_at    TEXT   NOT NULL CHECK (made_at LIKE '____-__-__T__:__:__%Z'),
    revoked_at TEXT   CHECK (revoked_at LIKE '____-__-__T__:__:__%Z')
);

-- Counts every change of `access_key`, so that a replica sees with one small read that it is behind.
CREATE TABLE access_version (
    one     BIGINT NOT NULL PRIMARY KEY CHECK (one = 1),
    version BIGINT NOT NULL CHECK (version >= 0)
);
INSERT INTO access_version (one, version) VALUES (1, 0);

-- What was written by whom; a row is written in the transaction of what it tells of.
CREATE TABLE audit (
    id       TEXT   NOT NULL PRIMARY KEY CHECK (id <> ''),
    at       TEXT   NOT NULL CHECK (at LIKE '____-__-__T__:__:__%Z'),
    caller   TEXT   NOT NULL CHECK (caller <> ''),
    action   TEXT   NOT NULL CHECK (action <> ''),
    target   TEXT   NOT NULL CHECK (target <> ''),
    book     TEXT,
    revision BIGINT,
    request  TEXT,
    CHECK ((book IS NULL) = (revision IS NULL))
);
CREATE INDEX audit_by_time ON audit (at, id);

-- Answers kept for a repeated request, by caller and key. A row without `status` is a request that
-- is being done; it is taken over when its maker is gone. The only table from which rows go.
CREATE TABLE idempotency (
    caller  TEXT   NOT NULL,
    key     TEXT   NOT NULL CHECK (length(key) BETWEEN 1 AND 255),
    request TEXT   NOT NULL CHECK (length(request) = 64),
    owner   TEXT   NOT NULL,
    made_at TEXT   NOT NULL CHECK (made_at LIKE '____-__-__T__:__:__%Z'),
    status  BIGINT,
    headers TEXT,
    body    TEXT,
    PRIMARY KEY (caller, key),
    CHECK ((status IS NULL) = (headers IS NULL) AND (status IS NULL) = (body IS NULL))
);
CREATE INDEX idempotency_by_time ON idempotency (made_at);

CREATE TRIGGER supplier_charge_is_never_changed BEFORE UPDATE OR DELETE ON supplier_charge
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE TRIGGER wage_is_never_changed BEFORE UPDATE OR DELETE ON wage
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE TRIGGER wage_burden_is_never_changed BEFORE UPDATE OR DELETE ON wage_burden
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE TRIGGER own_rate_is_never_changed BEFORE UPDATE OR DELETE ON own_rate
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE TRIGGER index_value_is_never_changed BEFORE UPDATE OR DELETE ON index_value
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE TRIGGER audit_is_never_changed BEFORE UPDATE OR DELETE ON audit
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE FUNCTION only_revoke() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.id <> OLD.id OR NEW.name <> OLD.name OR NEW.role <> OLD.role OR NEW.hash <> OLD.hash
        OR NEW.per_minute IS DISTINCT FROM OLD.per_minute OR NEW.made_at <> OLD.made_at
        OR OLD.revoked_at IS NOT NULL THEN
        RAISE EXCEPTION 'a key is only ever revoked' USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN NEW;
END
$$;

CREATE TRIGGER access_key_is_only_revoked BEFORE UPDATE ON access_key
FOR EACH ROW EXECUTE FUNCTION only_revoke();

CREATE TRIGGER access_key_stays BEFORE DELETE ON access_key
FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE OR REPLACE FUNCTION count_up_by_one() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF NEW.code <> OLD.code OR NEW.name <> OLD.name OR NEW.currency <> OLD.currency
        OR NEW.demo <> OLD.demo OR NEW.inherits IS DISTINCT FROM OLD.inherits
        OR NEW.latest <> OLD.latest + 1 THEN
        RAISE EXCEPTION 'a book counts its revisions one by one' USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN NEW;
END
$$;
