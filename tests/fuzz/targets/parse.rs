//! The body of `parse` under the fuzzer.

#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| clickwise_fuzz::parse(bytes));
