//! The short form: what its columns promise, and what a line becomes in the full form.

mod reading;
