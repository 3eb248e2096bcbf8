//! A whole folder: survey.toml and its tables.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| feltwire_fuzz::try_folder(&feltwire_fuzz::unpacked(
    bytes
)));
