//! Every statement of the price book, the same text for both databases.
//!
//! Invariants: of a book nothing but `latest` is ever updated and nothing is deleted; no statement is
//! put together from pieces but the groups of places of many rows. Absent here: running them.

pub(super) const HEADS: &str = "SELECT code, latest FROM book ORDER BY code";

pub(super) const BOOK: &str = "SELECT code, name, currency, demo, latest, inherits
    FROM book WHERE code = $1";

pub(super) const REVISIONS: &str = "SELECT number, made_at, note FROM revision
    WHERE book = $1 AND number > $2";

pub(super) const SETTINGS: &str = "SELECT revision, overhead_e6, contingency_e6, profit_basis,
    profit_e6, warranty_e6, sales_tax_e6, sales_tax_base, travel_minutes, price_age_days
    FROM setting WHERE book = $1
    AND revision > $2";

pub(super) const SUPPLIERS: &str = "SELECT code, revision, name, short_load_below_yd3_e4,
    truck_most_yd3_e4, free_unloading_min_yd3_e4, minimum_order_e4 FROM supplier_version WHERE book = $1
    AND revision > $2";

pub(super) const CHARGES: &str = "SELECT code, revision, kind, key, fee_e4
    FROM supplier_charge WHERE book = $1
    AND revision > $2";

pub(super) const ITEMS: &str = "SELECT code, revision, description, class, sale_unit,
    order_step_e4, minimum_e4, holds_e4, holds_unit, uses, pay_step_e4,
    preferred_supplier, index_series FROM item_version WHERE book = $1
    AND revision > $2";

pub(super) const PRICES: &str = "SELECT item, supplier, effective_from, from_quantity_e4,
    quoted_for, revision, unit_price_e4, valid_until FROM price WHERE book = $1
    AND revision > $2";

pub(super) const WAGES: &str =
    "SELECT schedule, class, effective_from, revision, base_e4, fringe_e4,
    premium_e6 FROM wage WHERE book = $1
    AND revision > $2";

pub(super) const BURDENS: &str = "SELECT schedule, class, effective_from, revision, name, share_e6,
    hourly_e4, on_premium FROM wage_burden WHERE book = $1
    AND revision > $2";

pub(super) const RATES: &str = "SELECT task, revision, setup_e4, low_e4, likely_e4, high_e4
    FROM own_rate WHERE book = $1
    AND revision > $2";

pub(super) const INDICES: &str = "SELECT series, month, revision, value_e4
    FROM index_value WHERE book = $1
    AND revision > $2";

pub(super) const ADD_BOOK: &str = "INSERT INTO book
    (code, name, currency, demo, latest, inherits) VALUES ($1, $2, $3, $4, 0, $5)
    ON CONFLICT (code) DO NOTHING";

// First statement of every write: its lock on the row puts the writers of one book in line, so that
// the condition, read after it, sees everything that was written before.
pub(super) const NEXT_REVISION: &str = "UPDATE book SET latest = latest + 1 WHERE code = $1
    RETURNING latest";

pub(super) const CHANGED: &str = "SELECT MAX(revision) FROM (
    SELECT revision FROM item_version WHERE book = $1 AND code = $2
    UNION ALL SELECT revision FROM price WHERE book = $1 AND item = $2) AS written";

// The newest instant of a book: a clock that was set back must not make history run backwards.
pub(super) const LAST_MADE: &str = "SELECT MAX(made_at) FROM revision WHERE book = $1";

pub(super) const ITEM_CODES: &str = "SELECT code FROM item WHERE book = $1";

pub(super) const SUPPLIER_CODES: &str = "SELECT code FROM supplier WHERE book = $1";

pub(super) const ADD_REVISION: &str = "INSERT INTO revision (book, number, made_at, note)
    VALUES ($1, $2, $3, $4)";

// Many rows go in with one statement: the text up to `VALUES`, then a group of places for each row.

pub(super) const ADD_SETTINGS: &str = "INSERT INTO setting
    (book, revision, overhead_e6, contingency_e6, profit_basis, profit_e6, warranty_e6,
    sales_tax_e6, sales_tax_base, travel_minutes, price_age_days) ";

pub(super) const ADD_SUPPLIERS: &str = "INSERT INTO supplier (book, code) ";

pub(super) const ADD_SUPPLIER_VERSIONS: &str = "INSERT INTO supplier_version
    (book, code, revision, name, short_load_below_yd3_e4, truck_most_yd3_e4,
    free_unloading_min_yd3_e4, minimum_order_e4) ";

pub(super) const ADD_CHARGES: &str = "INSERT INTO supplier_charge
    (book, code, revision, kind, key, fee_e4) ";

pub(super) const ADD_ITEMS: &str = "INSERT INTO item (book, code) ";

pub(super) const ADD_ITEM_VERSIONS: &str = "INSERT INTO item_version
    (book, code, revision, description, class, sale_unit, order_step_e4, minimum_e4, holds_e4,
    holds_unit, uses, pay_step_e4, preferred_supplier, index_series) ";

pub(super) const ADD_PRICES: &str = "INSERT INTO price
    (book, item, supplier, effective_from, from_quantity_e4, quoted_for, revision, unit_price_e4,
    valid_until) ";

pub(super) const ADD_WAGES: &str = "INSERT INTO wage
    (book, schedule, class, effective_from, revision, base_e4, fringe_e4, premium_e6) ";

pub(super) const ADD_BURDENS: &str = "INSERT INTO wage_burden
    (book, schedule, class, effective_from, revision, name, share_e6, hourly_e4, on_premium) ";

pub(super) const ADD_RATES: &str = "INSERT INTO own_rate
    (book, task, revision, setup_e4, low_e4, likely_e4, high_e4) ";

pub(super) const ADD_INDICES: &str = "INSERT INTO index_value
    (book, series, month, revision, value_e4) ";

pub(super) const UNLESS_THERE: &str = " ON CONFLICT (book, code) DO NOTHING";

pub(super) const ADD_AUDIT: &str = "INSERT INTO audit
    (id, at, caller, action, target, book, revision, request)
    VALUES ($1, $2, $3, $4, $5, $6, $7, $8)";

// Answers are the one thing that is forgotten, after a day.
pub(super) const FORGET_ANSWERS: &str = "DELETE FROM idempotency WHERE made_at < $1";

pub(super) const ADD_CLAIM: &str = "INSERT INTO idempotency (caller, key, request, owner, made_at)
    VALUES ($1, $2, $3, $4, $5) ON CONFLICT (caller, key) DO NOTHING";

pub(super) const CLAIM: &str = "SELECT request, owner, made_at, status, headers, body
    FROM idempotency WHERE caller = $1 AND key = $2";

pub(super) const TAKE_OVER: &str = "UPDATE idempotency SET owner = $3, made_at = $4
    WHERE caller = $1 AND key = $2 AND status IS NULL AND made_at < $5";

pub(super) const KEEP: &str = "UPDATE idempotency SET status = $4, headers = $5, body = $6
    WHERE caller = $1 AND key = $2 AND owner = $3 AND status IS NULL";

pub(super) const RELEASE: &str = "DELETE FROM idempotency
    WHERE caller = $1 AND key = $2 AND owner = $3 AND status IS NULL";
