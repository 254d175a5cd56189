//! Rule sets held against published and derived examples, on both sides of every limit.

mod bench;
mod extending;
mod laws;
mod many;
mod reading;
mod remedies;
mod vectors;
