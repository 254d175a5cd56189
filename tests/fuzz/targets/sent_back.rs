//! The target `sent_back`: its body stands in `bodies`; most changes keep within the contract.

#![no_main]

use crossfall_fuzz::bodies::sent_back;
use crossfall_fuzz::contract::{self, CALLS};
use libfuzzer_sys::{fuzz_mutator, fuzz_target, fuzzer_mutate};

fuzz_target!(|bytes: &[u8]| sent_back(bytes));

fuzz_mutator!(|data: &mut [u8], size: usize, most: usize, seed: u32| {
    let call = data[..size]
        .first()
        .and_then(|letter| CALLS.iter().find(|call| call.0 == *letter));
    let kept = call.filter(|_| seed % 8 > 0);
    let changed = kept.and_then(|call| contract::change(call.1, &data[1..size], seed));
    match changed.filter(|body| body.len() < most) {
        Some(body) => {
            data[1..=body.len()].copy_from_slice(&body);
            body.len() + 1
        }
        None => fuzzer_mutate(data, size, most),
    }
});
