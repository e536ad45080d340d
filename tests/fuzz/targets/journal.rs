//! The body of `journal` under the fuzzer.

#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| clickwise_fuzz::journal(bytes));
