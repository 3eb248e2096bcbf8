//! The whole packet of 88 notes as a process: survey in, papers on disk, pictures among them; against
//! the same on one thread, and against the scale with its ± alone.
//!
//! `cargo bench --bench packet`

use std::process::{Command, Stdio};

fn main() {
    divan::main();
}

fn run(threads: &str, args: &[&str]) {
    let done = Command::new(env!("CARGO_BIN_EXE_feltwire"))
        .args(args)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("RAYON_NUM_THREADS", threads)
        .stdout(Stdio::null())
        .status()
        .expect("the program runs");
    assert!(done.success(), "{args:?}");
}

fn packet(threads: &str) {
    let out = std::env::temp_dir().join(format!("feltwire-bench-{}", std::process::id()));
    let out = out.to_str().expect("UTF-8");
    run(threads, &["packet", "examples/upright", "-o", out, "--date", "2026-11-25", "--force"]);
}

#[divan::bench(sample_count = 10)]
fn whole_packet() {
    packet("2");
}

#[divan::bench(sample_count = 10)]
fn whole_packet_on_one_thread() {
    packet("1");
}

#[divan::bench(sample_count = 20)]
fn scale_alone() {
    run("2", &["scale", "examples/upright", "--json"]);
}
