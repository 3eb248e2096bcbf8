//! The packet's folder: what is replaced, what is refused, what an interrupted run leaves.

use super::program::{command, feltwire, root, text};
use std::fs;
use std::path::Path;

fn write(out: &Path, more: &[&str]) -> std::process::Output {
    let out = out.to_str().expect("UTF-8");
    let args = [&["packet", "examples/upright", "-o", out, "--date", "2026-11-25"], more].concat();
    feltwire(&args)
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let mut names: Vec<String> =
        entries.map(|e| e.expect("entry").file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// Every file of a packet, by name.
fn content(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let read = |name: String| {
        let bytes = fs::read(folder.join(&name)).expect("a file");
        (name, bytes)
    };
    names(folder).into_iter().map(read).collect()
}

#[test]
fn a_packet_is_the_same_bytes_for_one_survey_and_date() {
    let temp = tempfile::tempdir().expect("a folder");
    let (one, two) = (temp.path().join("one"), temp.path().join("two"));
    assert_eq!(write(&one, &[]).status.code(), Some(0));
    let out = two.to_str().expect("UTF-8");
    let again = command(&["packet", "examples/upright", "-o", out, "--date", "2026-11-25"])
        .env("RAYON_NUM_THREADS", "1")
        .output()
        .expect("runs");
    assert_eq!(again.status.code(), Some(0), "{}", text(&again.stderr));
    for (left, right) in content(&one).iter().zip(&content(&two)) {
        assert_eq!(left.0, right.0);
        assert!(left.1 == right.1, "{} differs between two runs", left.0);
    }
    // Nothing is left beside the folders.
    assert_eq!(names(temp.path()), ["one", "two"]);
}

#[test]
fn its_list_names_every_other_file_with_its_fingerprint() {
    let temp = tempfile::tempdir().expect("a folder");
    let out = temp.path().join("out");
    assert_eq!(write(&out, &[]).status.code(), Some(0));
    let list: serde_json::Value =
        serde_json::from_slice(&fs::read(out.join("numbers.json")).expect("the list"))
            .expect("JSON");
    let mut listed: Vec<String> = list["files"]
        .as_array()
        .expect("files")
        .iter()
        .map(|file| file["name"].as_str().expect("name").to_owned())
        .collect();
    listed.push("numbers.json".to_owned());
    listed.sort();
    assert_eq!(listed, names(&out));
}

#[test]
fn an_earlier_packet_is_replaced_and_anything_else_refused_by_name() {
    let temp = tempfile::tempdir().expect("a folder");
    let out = temp.path().join("out");
    assert_eq!(write(&out, &[]).status.code(), Some(0));
    assert_eq!(write(&out, &[]).status.code(), Some(0), "an unchanged packet is replaced");

    fs::write(out.join("load.svg"), "mine now").expect("writable");
    let refused = write(&out, &[]);
    assert_eq!(refused.status.code(), Some(3));
    assert!(text(&refused.stderr).contains("load.svg"), "{}", text(&refused.stderr));
    assert_eq!(fs::read(out.join("load.svg")).expect("kept"), b"mine now");

    fs::write(out.join("letter.txt"), "dear maker").expect("writable");
    assert_eq!(write(&out, &["--force"]).status.code(), Some(0));
    assert_ne!(fs::read(out.join("load.svg")).expect("replaced"), b"mine now");
    assert_eq!(fs::read(out.join("letter.txt")).expect("kept"), b"dear maker");
    assert!(text(&write(&out, &[]).stderr).contains("letter.txt"));
}

#[test]
fn a_folder_that_is_not_ours_is_left_alone_even_by_force() {
    let temp = tempfile::tempdir().expect("a folder");
    let out = temp.path().join("photos");
    fs::create_dir(&out).expect("a folder");
    fs::write(out.join("soundboard.jpg"), "x").expect("writable");
    for more in [&[][..], &["--force"]] {
        let refused = write(&out, more);
        assert_eq!(refused.status.code(), Some(3));
        assert!(text(&refused.stderr).contains("soundboard.jpg"));
    }
    assert_eq!(names(&out), ["soundboard.jpg"]);
    assert_eq!(names(temp.path()), ["photos"]);
}

#[test]
fn never_into_the_surveys_folder_or_above_it() {
    for out in ["examples/upright", "examples", "."] {
        let refused = write(&root().join(out), &["--force"]);
        assert_eq!(refused.status.code(), Some(2), "{out}: {}", text(&refused.stderr));
    }
    assert!(root().join("examples/upright/survey.toml").exists());
}

#[test]
fn nothing_is_written_when_the_survey_is_at_fault() {
    let temp = tempfile::tempdir().expect("a folder");
    let out = temp.path().join("out");
    let out = out.to_str().expect("UTF-8");
    let done = feltwire(&["packet", "tests/cli/faults/twelve_at_once", "-o", out]);
    assert_eq!(done.status.code(), Some(1));
    assert_eq!(names(temp.path()), Vec::<String>::new());
}

#[test]
fn two_runs_into_one_folder_refuse_each_other() {
    let temp = tempfile::tempdir().expect("a folder");
    let out = temp.path().join("out");
    let held = fs::File::create(temp.path().join(".out.lock")).expect("writable");
    held.lock().expect("the lock");
    let refused = write(&out, &[]);
    assert_eq!(refused.status.code(), Some(3));
    assert!(text(&refused.stderr).contains("another run"), "{}", text(&refused.stderr));
    drop(held);
    assert_eq!(write(&out, &[]).status.code(), Some(0));
}

/// A run killed between its two renames: the old folder aside, the new one whole but not in place;
/// or killed before the new one was whole; or before the old one was cleared away.
#[test]
fn an_interrupted_swap_is_finished_by_the_next_run() {
    let temp = tempfile::tempdir().expect("a folder");
    let at = |name: &str| temp.path().join(name);
    assert_eq!(write(&at("out"), &[]).status.code(), Some(0));
    let whole = content(&at("out"));

    fs::rename(at("out"), at(".out.aside")).expect("rename");
    copy(&whole, &at(".out.draft"));
    assert_eq!(write(&at("out"), &[]).status.code(), Some(0));
    assert_eq!(names(temp.path()), ["out"]);

    fs::rename(at("out"), at(".out.aside")).expect("rename");
    copy(&whole[..2], &at(".out.draft"));
    assert_eq!(write(&at("out"), &[]).status.code(), Some(0));
    assert_eq!(names(temp.path()), ["out"]);

    copy(&whole, &at(".out.aside"));
    assert_eq!(write(&at("out"), &[]).status.code(), Some(0));
    assert_eq!(names(temp.path()), ["out"]);
    assert!(content(&at("out")) == whole);
}

fn copy(files: &[(String, Vec<u8>)], folder: &Path) {
    fs::create_dir(folder).expect("a folder");
    for (name, bytes) in files {
        fs::write(folder.join(name), bytes).expect("writable");
    }
}

/// Words of the survey are data wherever they come out: in SVG, in CSV, on pages.
#[test]
fn hostile_words_stay_words() {
    let temp = tempfile::tempdir().expect("a folder");
    let survey = temp.path().join("survey");
    fs::create_dir(&survey).expect("a folder");
    for name in ["strings.csv", "hammers.csv", "logo.png"] {
        fs::copy(root().join("examples/upright").join(name), survey.join(name)).expect("copied");
    }
    let toml = fs::read_to_string(root().join("examples/upright/survey.toml")).expect("read");
    let toml = toml
        .replace("\"Tarn & Hollis 124\"", "'=cmd|</text><script>#panic(\"x\")$x$'")
        .replace("name     = \"bass\"", "name     = '=1+1 <b>#set text(red)'")
        .replace("section       = \"bass\"", "section       = '=1+1 <b>#set text(red)'");
    assert!(
        toml.contains("#panic") && toml.matches("=1+1").count() == 2,
        "the example's names have changed"
    );
    fs::write(survey.join("survey.toml"), toml).expect("writable");
    let out = temp.path().join("out");
    let done =
        feltwire(&["packet", survey.to_str().expect("UTF-8"), "-o", out.to_str().expect("UTF-8")]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    for (name, bytes) in content(&out) {
        let written = String::from_utf8_lossy(&bytes).into_owned();
        let ends = |ending: &str| name.rsplit('.').next() == Some(ending);
        if ends("svg") {
            assert!(!written.contains("<script") && !written.contains("<b>"), "{name}");
        }
        if ends("csv") {
            assert!(
                written.lines().all(|line| line.split(',').all(|c| !c.starts_with("=1+1"))),
                "{name}"
            );
        }
    }
}

/// A disk that fills up, played by a limit on the size of a file.
#[cfg(unix)]
#[test]
fn a_full_disk_leaves_the_earlier_packet_as_it_was() {
    let temp = tempfile::tempdir().expect("a folder");
    let out = temp.path().join("out");
    assert_eq!(write(&out, &[]).status.code(), Some(0));
    let whole = content(&out);
    let full = |line: &str| {
        std::process::Command::new("bash")
            .args(["-c", &format!("trap '' XFSZ; ulimit -f 64; exec {line}")])
            .current_dir(root())
            .output()
            .expect("bash runs")
    };
    let program = env!("CARGO_BIN_EXE_feltwire");
    let done =
        full(&format!("{program} packet examples/upright -o {} --date 2026-11-26", out.display()));
    assert_eq!(done.status.code(), Some(3), "{}", text(&done.stderr));
    assert!(content(&out) == whole, "the earlier packet was touched");
    assert_eq!(names(temp.path()), ["out"], "a draft was left behind");

    let plot = temp.path().join("plot.png");
    let done = full(&format!("{program} plot examples/upright -o {}", plot.display()));
    assert_eq!(done.status.code(), Some(3), "{}", text(&done.stderr));
    assert_eq!(names(temp.path()), ["out"], "half a plot was left behind");
}

/// Killed at any moment, a run leaves the earlier packet or the new one, whole, and the next run puts
/// everything right.
#[test]
fn a_kill_in_the_middle_leaves_a_whole_packet() {
    let temp = tempfile::tempdir().expect("a folder");
    let out = temp.path().join("out");
    let start = std::time::Instant::now();
    assert_eq!(write(&out, &[]).status.code(), Some(0));
    let usual = start.elapsed();
    let old = content(&out);
    for tenth in [3_u32, 8, 9, 10] {
        let path = out.to_str().expect("UTF-8");
        let mut run = command(&["packet", "examples/upright", "-o", path, "--date", "2026-11-26"])
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .expect("runs");
        std::thread::sleep(usual * tenth / 10);
        // Gone already when it was quick.
        let _ = run.kill();
        run.wait().expect("ends");
        let next = write(&out, &[]);
        let said = text(&next.stderr);
        assert_eq!(next.status.code(), Some(0), "after a kill at {tenth} tenths: {said}");
        assert!(content(&out) == old, "after a kill at {tenth} tenths");
        assert_eq!(names(temp.path()), ["out"], "after a kill at {tenth} tenths");
    }
}

/// What a run leaves that is killed while it clears the earlier packet away: the new packet, and pages of the
/// earlier one aside, which are not put back over the new ones.
#[test]
fn pages_of_the_earlier_packet_do_not_come_back() {
    for list in [true, false] {
        let temp = tempfile::tempdir().expect("a folder");
        let (out, aside) = (temp.path().join("out"), temp.path().join(".out.aside"));
        assert_eq!(write(&aside, &[]).status.code(), Some(0));
        fs::remove_file(aside.join(if list { "load.svg" } else { "numbers.json" }))
            .expect("a page");
        let path = out.to_str().expect("UTF-8");
        let new = || feltwire(&["packet", "examples/upright", "-o", path, "--date", "2026-11-26"]);
        fs::rename(&aside, temp.path().join("kept")).expect("out of the way");
        assert_eq!(new().status.code(), Some(0));
        fs::rename(temp.path().join("kept"), &aside).expect("put there");
        let whole = content(&out);
        let next = new();
        assert_eq!(next.status.code(), Some(0), "{}", text(&next.stderr));
        assert!(content(&out) == whole, "a page of the earlier packet came back");
        assert_eq!(names(temp.path()), ["out"]);
    }
}

/// Orders go out under a name and an address, and whoever gave none is told.
#[test]
fn a_survey_without_a_workshop_is_told_that_its_orders_bear_no_address() {
    let out = tempfile::tempdir().expect("a folder");
    let survey = out.path().join("piano");
    fs::create_dir(&survey).expect("made");
    for name in ["strings.csv", "hammers.csv"] {
        fs::copy(root().join("examples/upright").join(name), survey.join(name)).expect("copied");
    }
    let whole =
        fs::read_to_string(root().join("examples/upright/survey.toml")).expect("an example");
    let (before, shop) = whole.split_once("[shop]").expect("the last part");
    let named = format!("{before}[shop]{}", shop.replace("logo ", "# logo "));
    for (text_of, told) in [(before, true), (&named, false)] {
        fs::write(survey.join("survey.toml"), text_of).expect("written");
        let papers = out.path().join(if told { "without" } else { "with" });
        let arguments = ["packet", survey.to_str().expect("UTF-8"), "-o"];
        let done = feltwire(&[&arguments[..], &[papers.to_str().expect("UTF-8")]].concat());
        assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
        assert_eq!(text(&done.stdout).contains("under [shop]"), told, "{}", text(&done.stdout));
    }
}
