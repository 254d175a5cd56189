//! The target `bill`: its body stands in `bodies`.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| crossfall_fuzz::bodies::bill(bytes));
