//! Rule sets held against published and derived examples, on both sides of every limit.

mod bench;
mod laws;
mod reading;
mod remedies;
mod vectors;
