//! What each command does: read, work out, print or write.

use super::args::{self, Args, Command};
use super::disk::OnDisk;
use super::exit::Failure;
use super::terminal::{self, OnTerminal};
use feltwire::document;
use feltwire::judgement::limit::Limits;
use feltwire::report::{self, Report};
use feltwire::survey::{self, Known, Survey};
use std::path::Path;

/// Does what the command line says.
pub fn run(args: &Args) -> Result<(), Failure> {
    match &args.command {
        Command::Check(read) => show(read, document::shapes::check, document::text::check),
        Command::Scale(read) => show(read, document::shapes::scale, document::text::scale),
    }
}

/// Reads the survey at `path`; its faults, all of them, are the failure.
fn read(path: &Path) -> Result<(OnDisk, Survey), Failure> {
    let folder = OnDisk::of_survey(path);
    if folder.root().is_file() {
        return Err(Failure::CommandLine(format!(
            "`{}` is no survey; name its folder, or the survey.toml in it",
            path.display()
        )));
    }
    if !folder.root().is_dir() {
        return Err(Failure::io("read", path, &"there is no such folder")
            .with_remedy("name the survey's folder, the one that holds survey.toml"));
    }
    let limits = Limits::default();
    let names: Vec<&str> = limits.iter().map(|limit| limit.name).collect();
    let known = Known { limits: &names };
    let survey = survey::read(&folder, &known)
        .map_err(|faults| Failure::Survey(faults.render(terminal::colour())))?;
    Ok((folder, survey))
}

fn build(survey: Survey) -> Result<Report, Failure> {
    let Survey { instrument, warnings, hash } = survey;
    Ok(report::build(instrument, warnings, hash, &OnTerminal::default())?)
}

fn show(
    args: &args::Read,
    as_json: impl Fn(&Report) -> String,
    as_text: impl Fn(&Report) -> String,
) -> Result<(), Failure> {
    let (_, survey) = read(&args.survey)?;
    let report = build(survey)?;
    terminal::print(&if args.json { as_json(&report) } else { as_text(&report) })
}
