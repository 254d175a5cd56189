//! Every statement about keys and the audit, the same text for both databases.
//!
//! Invariants: of a key only `revoked_at` is updated, once; nothing is deleted; no statement is put
//! together from pieces. Absent here: running them, and the statement by which the book's own writes
//! add to the audit, which serves here too.

pub(super) const VERSION: &str = "SELECT version FROM access_version WHERE one = 1";

// First statement of every change: its lock on the row puts the writers in line.
pub(super) const NEXT_VERSION: &str = "UPDATE access_version SET version = version + 1
    WHERE one = 1";

pub(super) const KEYS: &str = "SELECT id, name, role, hash, per_minute, made_at, revoked_at
    FROM access_key ORDER BY made_at, id";

pub(super) const ADD_KEY: &str = "INSERT INTO access_key
    (id, name, role, hash, per_minute, made_at) VALUES ($1, $2, $3, $4, $5, $6)";

pub(super) const REVOKE_KEY: &str = "UPDATE access_key SET revoked_at = $2
    WHERE id = $1 AND revoked_at IS NULL";

// Every id begins with its instant, in as many digits, so that one column is the cursor.
pub(super) const AUDIT: &str = "SELECT id, at, caller, action, target, book, revision, request
    FROM audit WHERE $1 = '' OR id < $1 ORDER BY id DESC LIMIT $2";
