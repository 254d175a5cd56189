-- Price books. History is append-only: a row of any table but `book` is written once and never
-- changed (0002 makes the database refuse it), so that an estimate priced at a date and a revision
-- can be priced again at any later time.
--
-- Money is in ten-thousandths of the currency's main unit, quantities in ten-thousandths of their
-- unit, percentages in millionths, all in 64-bit integers: both databases compare and keep them
-- alike, and nothing is rounded. Dates are ISO 8601 text, instants RFC 3339 UTC text.

-- `latest` is the number of the newest revision. It is the one value that is updated, and the lock
-- on this row is what puts the writers of one book in line.
CREATE TABLE book (
    code     TEXT   NOT NULL PRIMARY KEY CHECK (code <> ''),
    name     TEXT   NOT NULL CHECK (name <> ''),
    currency TEXT   NOT NULL CHECK (length(currency) = 3),
    demo     BIGINT NOT NULL CHECK (demo IN (0, 1)),
    latest   BIGINT NOT NULL CHECK (latest >= 0)
);

-- One accepted write.
CREATE TABLE revision (
    book    TEXT   NOT NULL REFERENCES book (code),
    number  BIGINT NOT NULL CHECK (number >= 1),
    made_at TEXT   NOT NULL CHECK (made_at LIKE '____-__-__T__:__:__%Z'),
    note    TEXT   NOT NULL,
    PRIMARY KEY (book, number)
);

-- What an estimate takes from the book beside prices: a whole row for each revision that changed it.
CREATE TABLE setting (
    book             TEXT   NOT NULL,
    revision         BIGINT NOT NULL,
    overhead_e6      BIGINT NOT NULL CHECK (overhead_e6 >= 0),
    contingency_e6   BIGINT NOT NULL CHECK (contingency_e6 >= 0),
    profit_basis     TEXT   NOT NULL CHECK (profit_basis IN ('margin', 'markup')),
    profit_e6        BIGINT NOT NULL CHECK (profit_e6 >= 0 AND (profit_basis = 'markup' OR profit_e6 < 1000000)),
    warranty_e6      BIGINT NOT NULL CHECK (warranty_e6 >= 0),
    sales_tax_e6     BIGINT NOT NULL CHECK (sales_tax_e6 >= 0),
    sales_tax_base   TEXT   NOT NULL CHECK (sales_tax_base IN ('none', 'materials', 'price')),
    travel_minutes   BIGINT NOT NULL CHECK (travel_minutes >= 0),
    PRIMARY KEY (book, revision),
    FOREIGN KEY (book, revision) REFERENCES revision (book, number)
);

-- Who sells. The ready-mix terms are empty for everybody else.
CREATE TABLE supplier (
    book TEXT NOT NULL REFERENCES book (code),
    code TEXT NOT NULL CHECK (code <> ''),
    PRIMARY KEY (book, code)
);

CREATE TABLE supplier_version (
    book                         TEXT   NOT NULL,
    code                         TEXT   NOT NULL,
    revision                     BIGINT NOT NULL,
    name                         TEXT   NOT NULL CHECK (name <> ''),
    short_load_below_yd3_e4      BIGINT CHECK (short_load_below_yd3_e4 > 0),
    truck_most_yd3_e4            BIGINT CHECK (truck_most_yd3_e4 > 0),
    free_unloading_min_yd3_e4    BIGINT CHECK (free_unloading_min_yd3_e4 >= 0),
    PRIMARY KEY (book, code, revision),
    FOREIGN KEY (book, code) REFERENCES supplier (book, code),
    FOREIGN KEY (book, revision) REFERENCES revision (book, number)
);

-- What can be bought. `uses` and `pay_step_e4` stand on items charged from stock, on no others.
CREATE TABLE item (
    book TEXT NOT NULL REFERENCES book (code),
    code TEXT NOT NULL CHECK (code <> ''),
    PRIMARY KEY (book, code)
);

CREATE TABLE item_version (
    book          TEXT   NOT NULL,
    code          TEXT   NOT NULL,
    revision      BIGINT NOT NULL,
    description   TEXT   NOT NULL CHECK (description <> ''),
    class         TEXT   NOT NULL CHECK (class IN ('material', 'labour', 'equipment', 'fee', 'sub')),
    sale_unit     TEXT   NOT NULL CHECK (sale_unit <> ''),
    order_step_e4 BIGINT NOT NULL CHECK (order_step_e4 > 0),
    minimum_e4    BIGINT NOT NULL CHECK (minimum_e4 >= 0),
    holds_e4      BIGINT CHECK (holds_e4 > 0),
    holds_unit    TEXT   CHECK (holds_unit <> ''),
    uses          BIGINT CHECK (uses >= 1),
    pay_step_e4   BIGINT CHECK (pay_step_e4 > 0),
    PRIMARY KEY (book, code, revision),
    FOREIGN KEY (book, code) REFERENCES item (book, code),
    FOREIGN KEY (book, revision) REFERENCES revision (book, number),
    CHECK ((holds_e4 IS NULL) = (holds_unit IS NULL)),
    CHECK ((uses IS NULL) = (pay_step_e4 IS NULL))
);

-- What an item costs at a supplier from a day on, and in which revision that was learned. A
-- correction is a row of a later revision with the same day.
CREATE TABLE price (
    book           TEXT   NOT NULL,
    item           TEXT   NOT NULL,
    supplier       TEXT   NOT NULL,
    effective_from TEXT   NOT NULL CHECK (effective_from LIKE '____-__-__'),
    revision       BIGINT NOT NULL,
    unit_price_e4  BIGINT NOT NULL CHECK (unit_price_e4 >= 0),
    PRIMARY KEY (book, item, supplier, effective_from, revision),
    FOREIGN KEY (book, item) REFERENCES item (book, code),
    FOREIGN KEY (book, supplier) REFERENCES supplier (book, code),
    FOREIGN KEY (book, revision) REFERENCES revision (book, number)
);
