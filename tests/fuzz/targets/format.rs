//! The body of `format` under the fuzzer.

#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| clickwise_fuzz::format(bytes));
