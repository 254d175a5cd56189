//! The real service and both databases.

mod store;
