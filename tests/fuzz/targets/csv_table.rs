//! The target `csv_table`: its body stands in `bodies`.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| crossfall_fuzz::bodies::csv_table(bytes));
