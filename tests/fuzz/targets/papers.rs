//! The target `papers`: its body stands in `bodies`; most changes keep within the contract.

#![no_main]

use crossfall_fuzz::{bodies::papers, contract};
use libfuzzer_sys::{fuzz_mutator, fuzz_target, fuzzer_mutate};

fuzz_target!(|bytes: &[u8]| papers(bytes));

fuzz_mutator!(|data: &mut [u8], size: usize, most: usize, seed: u32| {
    let changed = (seed % 8 > 0).then(|| contract::change("JobRequest", &data[..size], seed));
    match changed.flatten().filter(|body| body.len() <= most) {
        Some(body) => {
            data[..body.len()].copy_from_slice(&body);
            body.len()
        }
        None => fuzzer_mutate(data, size, most),
    }
});
