//! The whole flow, read as an owner would, and its money done again by an independent library.

mod cautions;
mod laws;
mod money;
mod moved;
mod owner;
mod supply;
