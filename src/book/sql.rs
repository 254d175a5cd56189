//! Every statement of the price book, the same text for both databases.
//!
//! Invariants: nothing but `book.latest` is ever updated, nothing is deleted, and no statement is
//! put together from pieces. Absent here: running them.

pub(super) const HEADS: &str = "SELECT code, latest FROM book ORDER BY code";

pub(super) const BOOK: &str = "SELECT code, name, currency, demo, latest
    FROM book WHERE code = $1";

pub(super) const REVISIONS: &str = "SELECT number, made_at, note FROM revision WHERE book = $1";

pub(super) const SETTINGS: &str = "SELECT revision, overhead_e6, contingency_e6, profit_basis,
    profit_e6, warranty_e6, sales_tax_e6, sales_tax_base, travel_minutes
    FROM setting WHERE book = $1";

pub(super) const SUPPLIERS: &str = "SELECT code, revision, name, short_load_below_yd3_e4,
    truck_most_yd3_e4, free_unloading_min_yd3_e4 FROM supplier_version WHERE book = $1";

pub(super) const ITEMS: &str = "SELECT code, revision, description, class, sale_unit,
    order_step_e4, minimum_e4, holds_e4, holds_unit, uses, pay_step_e4
    FROM item_version WHERE book = $1";

pub(super) const PRICES: &str = "SELECT item, supplier, effective_from, revision, unit_price_e4
    FROM price WHERE book = $1";

pub(super) const ADD_BOOK: &str = "INSERT INTO book
    (code, name, currency, demo, latest) VALUES ($1, $2, $3, $4, 0)
    ON CONFLICT (code) DO NOTHING";

// First statement of every write: its lock on the row puts the writers of one book in line, so that
// the condition, read after it, sees everything that was written before.
pub(super) const NEXT_REVISION: &str = "UPDATE book SET latest = latest + 1 WHERE code = $1
    RETURNING latest";

pub(super) const CHANGED: &str = "SELECT MAX(revision) FROM (
    SELECT revision FROM item_version WHERE book = $1 AND code = $2
    UNION ALL SELECT revision FROM price WHERE book = $1 AND item = $2) AS written";

pub(super) const HAS_ITEM: &str = "SELECT COUNT(*) FROM item WHERE book = $1 AND code = $2";

pub(super) const HAS_SUPPLIER: &str = "SELECT COUNT(*) FROM supplier WHERE book = $1 AND code = $2";

pub(super) const ADD_REVISION: &str = "INSERT INTO revision (book, number, made_at, note)
    VALUES ($1, $2, $3, $4)";

pub(super) const ADD_SETTINGS: &str = "INSERT INTO setting
    (book, revision, overhead_e6, contingency_e6, profit_basis, profit_e6, warranty_e6,
    sales_tax_e6, sales_tax_base, travel_minutes)
    VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)";

pub(super) const ADD_SUPPLIER: &str = "INSERT INTO supplier (book, code) VALUES ($1, $2)
    ON CONFLICT (book, code) DO NOTHING";

pub(super) const ADD_SUPPLIER_VERSION: &str = "INSERT INTO supplier_version
    (book, code, revision, name, short_load_below_yd3_e4, truck_most_yd3_e4,
    free_unloading_min_yd3_e4) VALUES ($1, $2, $3, $4, $5, $6, $7)";

pub(super) const ADD_ITEM: &str = "INSERT INTO item (book, code) VALUES ($1, $2)
    ON CONFLICT (book, code) DO NOTHING";

pub(super) const ADD_ITEM_VERSION: &str = "INSERT INTO item_version
    (book, code, revision, description, class, sale_unit, order_step_e4, minimum_e4, holds_e4,
    holds_unit, uses, pay_step_e4) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)";

pub(super) const ADD_PRICE: &str = "INSERT INTO price
    (book, item, supplier, effective_from, revision, unit_price_e4)
    VALUES ($1, $2, $3, $4, $5, $6)";
