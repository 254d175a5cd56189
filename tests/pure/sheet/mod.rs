//! Tables held against RFC 4180, files that other programs made, and damaged ones.

mod bench;
mod charsets;
mod csv;
mod hostile;
mod laws;
mod numbers;
mod streaming;
mod xlsx;
