//! The whole packet of 88 notes as a process: survey in, papers on disk; against the same on one
//! thread, and against the scale alone.
//!
//! `cargo bench --bench packet`

use std::path::PathBuf;
use std::process::Command;

fn main() {
    divan::main();
}

fn run(threads: Option<&str>, args: &[&str]) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_feltwire"));
    command.args(args).current_dir(env!("CARGO_MANIFEST_DIR")).stdout(std::process::Stdio::null());
    if let Some(threads) = threads {
        command.env("RAYON_NUM_THREADS", threads);
    }
    let done = command.status().expect("the program runs");
    assert!(done.success(), "{args:?}");
}

fn folder() -> PathBuf {
    std::env::temp_dir().join(format!("feltwire-bench-{}", std::process::id()))
}

fn packet(threads: Option<&str>, more: &[&str]) {
    let out = folder();
    let out = out.to_str().expect("UTF-8");
    let base = ["packet", "examples/upright", "-o", out, "--date", "2026-11-25", "--force"];
    run(threads, &[&base, more].concat());
}

#[divan::bench(sample_count = 10)]
fn whole_packet() {
    packet(None, &[]);
}

#[divan::bench(sample_count = 10)]
fn without_png() {
    packet(None, &["--no-png"]);
}

#[divan::bench(sample_count = 10)]
fn whole_packet_on_one_thread() {
    packet(Some("1"), &[]);
}

#[divan::bench(sample_count = 20)]
fn scale_alone() {
    run(None, &["scale", "examples/upright", "--json"]);
}
