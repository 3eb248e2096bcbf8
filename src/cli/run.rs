//! What each command does: read, work out, print or write.

use super::args::{self, Args, Command, Form, Sheet};
use super::disk::{self, OnDisk};
use super::exit::Failure;
use super::output::Output;
use super::packet::Packet;
use super::terminal::{self, OnTerminal};
use clap::CommandFactory;
use feltwire::document::packet::PNG_WIDTH;
use feltwire::document::stamp::Stamp;
use feltwire::document::{self, Date, plots, png, shapes, text};
use feltwire::judgement::Asked;
use feltwire::judgement::limit::Limits;
use feltwire::report::{self, Choices, Name, Report, ScaleAsked, Wanted};
use feltwire::survey::{self, Known, Survey};
use std::path::Path;

/// Does what the command line says.
pub fn run(args: &Args) -> Result<(), Failure> {
    match &args.command {
        Command::New(new) => super::new::new(new),
        Command::Check(read) => check(read),
        Command::Scale(asked) => scale(asked),
        Command::Breaks(breaks) => print_breaks(breaks),
        Command::Decide(decide) => print_decision(decide),
        Command::Hammers(hammers) => print_hammers(hammers),
        Command::Restring(restring) => print_restring(restring),
        Command::Strings(strings) => print_strings(strings),
        Command::Limits(limits) => print_limits(limits),
        Command::Explain(explain) => print_meaning(explain),
        Command::Completions(asked) => print_completions(asked.shell),
        Command::Manual => print_manual(),
        Command::Table(table) => write_table(table),
        Command::Plot(plot) => draw(plot),
        Command::Packet(packet) => write_packet(packet),
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

fn build(survey: Survey, date: Date) -> Result<Report, Failure> {
    let year = i32::from(date.year());
    let Survey { instrument, warnings, hash, .. } = survey;
    let asked = Asked { year: Some(year), ..Asked::default() };
    let choices = Choices { asked };
    Ok(report::build(instrument, warnings, hash, &choices, &OnTerminal::default())?)
}

/// Prints what `form` asks for: `words`, the object `json`, or one list of it, `main` when none is named.
fn say(
    form: &Form,
    main: &str,
    json: impl FnOnce() -> String,
    words: impl FnOnce() -> String,
) -> Result<(), Failure> {
    let said = if form.is_for_programs() { for_programs(form, main, json())? } else { words() };
    terminal::print(&said)
}

/// The object `json`, or one list of it.
fn for_programs(form: &Form, main: &str, json: String) -> Result<String, Failure> {
    let Some(list) = &form.csv else { return Ok(json) };
    let list = if list.is_empty() { main } else { list };
    shapes::as_csv(&json, list).map_err(|lists| {
        let lists = lists.join(", ");
        Failure::CommandLine(format!("there is no list `{list}` here; there are {lists}"))
    })
}

fn check(args: &args::Read) -> Result<(), Failure> {
    let (_, survey) = read(&args.survey)?;
    let tables = survey.tables.clone();
    let report = build(survey, terminal::today())?;
    let json = || shapes::check(&report, &tables);
    say(&args.form, "sections", json, || text::check(&report, &tables))
}

fn print_breaks(args: &args::Breaks) -> Result<(), Failure> {
    let report = build(read(&args.survey)?.1, terminal::today())?;
    let words = || text::breaks(&report, args.detail);
    say(&args.form, "breaks.quantities", || shapes::breaks(&report), words)
}

fn print_decision(args: &args::Decide) -> Result<(), Failure> {
    let report = build(read(&args.survey)?.1, terminal::today())?;
    let Some(kind) = args.explain else {
        return say(&args.form, "sections", || shapes::decide(&report), || text::decide(&report));
    };
    match text::explain(&report, kind) {
        Some(text) => terminal::print(&text),
        None => {
            Err(Failure::CommandLine(format!("no finding on `{}` in this survey", kind.name())))
        }
    }
}

fn print_strings(args: &args::Strings) -> Result<(), Failure> {
    let report = build(read(&args.survey)?.1, terminal::today())?;
    let wanted = if args.all { Wanted::All } else { Wanted::Advised };
    let name = args.of.unwrap_or_else(|| report.chosen());
    let order = report.string_order_as(name, wanted, &OnTerminal::default())?;
    let words = || match args.sheet {
        Sheet::Order => text::strings(&report, &order),
        Sheet::Stringing => text::stringing(&report, &order),
    };
    say(&args.form, "lines", || shapes::strings(&report, &order), words)
}

fn print_restring(args: &args::Restring) -> Result<(), Failure> {
    let report = build(read(&args.survey)?.1, terminal::today())?;
    let watch = OnTerminal::default();
    let prefer = args.prefer.unwrap_or_default();
    let wanted = if args.all { Wanted::All } else { Wanted::Advised };
    let Some(name) = args.of else {
        let worked = report.rescale(&Name::ALL, &prefer, wanted, &watch)?;
        if !args.form.is_for_programs() {
            return terminal::print(&text::restring(&report, &worked));
        }
        let order = report.string_order(wanted, &watch)?;
        let json = shapes::restring(&report, &worked, &order);
        return terminal::print(&for_programs(&args.form, "alternatives", json)?);
    };
    let worked = report.rescale(&[Name::Copy, name], &prefer, wanted, &watch)?;
    match text::restring_notes(&report, &worked, name) {
        Some(text) => terminal::print(&text),
        None if name == Name::Preferred && args.prefer.is_none() => Err(Failure::CommandLine(
            "say what is preferred: --prefer breaks=2,sizes=0.5".to_owned(),
        )),
        None => terminal::print(&text::restring(&report, &worked)),
    }
}

fn print_limits(args: &args::LimitsOf) -> Result<(), Failure> {
    let limits = match &args.survey {
        None => Limits::default(),
        Some(path) => Limits::with(&read(path)?.1.instrument.limits),
    };
    say(&args.form, "limits", || shapes::limits(&limits), || text::limits(&limits))
}

fn print_meaning(args: &args::Explain) -> Result<(), Failure> {
    if args.term.is_empty() {
        return say(&args.form, "terms", shapes::glossary, text::glossary);
    }
    let word = args.term.join(" ");
    let limits = Limits::default();
    let entry = document::lookup::lookup(&word, &limits).map_err(|near| {
        let hint = match near.as_slice() {
            [] => "`feltwire explain` lists every word".to_owned(),
            near => format!("did you mean {}?", near.join(", ")),
        };
        Failure::CommandLine(format!("`{word}` is not explained; {hint}"))
    })?;
    say(&args.form, shapes::WHOLE, || shapes::entry(&entry), || text::entry(&entry))
}

fn print_completions(shell: clap_complete::Shell) -> Result<(), Failure> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Args::command(), "feltwire", &mut script);
    terminal::print(&String::from_utf8_lossy(&script))
}

/// One page for the program and each of its commands, one after the other.
fn print_manual() -> Result<(), Failure> {
    let mut program = Args::command();
    program.build();
    let mut pages = Vec::new();
    let commands = program.get_subcommands().filter(|command| command.get_name() != "help");
    let all = std::iter::once(&program).chain(commands);
    for command in all {
        clap_mangen::Man::new(command.clone())
            .render(&mut pages)
            .map_err(|fault| Failure::Bug(format!("the manual cannot be written: {fault}")))?;
    }
    terminal::print(&String::from_utf8_lossy(&pages))
}

fn scale(args: &args::Scale) -> Result<(), Failure> {
    let (_, survey) = read(&args.survey)?;
    let compass = survey.instrument.compass;
    if let Some(note) = args.explain.filter(|note| !compass.contains(*note)) {
        return Err(Failure::CommandLine(format!(
            "{note} is not on this instrument, which goes from {} to {}",
            compass.first, compass.last
        )));
    }
    let warmed = match (args.at, args.tuned_at.or(survey.instrument.climate.temperature)) {
        (None, _) => None,
        (Some(at), Some(tuned)) => Some((tuned, at)),
        (Some(_), None) => {
            return Err(Failure::CommandLine(
                "at which temperature was it tuned? give it as `--tuned-at \"20 degC\"`, or as \
                 `temperature` under [climate] of the survey"
                    .to_owned(),
            ));
        }
    };
    let report = build(survey, terminal::today())?;
    let draws = args.draws.map(|draws| draws as usize);
    // One note is drawn by itself, where it is explained.
    let all = draws.filter(|_| args.explain.is_none());
    let asked = ScaleAsked { draws: all, warmed };
    let more = report.scale_more(asked, &OnTerminal::default())?;
    if let Some(note) = args.explain {
        let json = || shapes::explain_note(&report, note, draws);
        say(&args.form, "steps", json, || text::explain_note(&report, note, draws))
    } else {
        let json = || shapes::scale(&report, &more);
        say(&args.form, "notes", json, || text::scale(&report, &more))
    }
}

/// The hammers, the sheet for their arrival, or what arrived.
fn print_hammers(args: &args::Hammers) -> Result<(), Failure> {
    if let Some(path) = &args.received {
        return judge_received(args, path);
    }
    let report = build(read(&args.survey)?.1, terminal::today())?;
    match args.sheet {
        Some(args::HammerSheet::Receive) => {
            say(&args.form, "checks", || shapes::receive(&report), || text::receive(&report))
        }
        None => say(&args.form, "hammers", || shapes::hammers(&report), || text::hammers(&report)),
    }
}

/// The heads in the table at `path`, which need not lie in the survey's folder.
fn judge_received(args: &args::Hammers, path: &Path) -> Result<(), Failure> {
    let (_, survey) = read(&args.survey)?;
    let name = path.to_string_lossy();
    let bytes = disk::table(path)?;
    let arrived = survey::received(&name, &bytes, &survey.instrument)
        .map_err(|faults| Failure::Survey(faults.render(terminal::colour())))?;
    let report = build(survey, terminal::today())?;
    let Some(received) = report.receive(&arrived.heads, arrived.warnings) else {
        return Err(Failure::CommandLine(
            "the survey names no hammers, so nothing was ordered that could have arrived; add a hammers table to it".to_owned(),
        ));
    };
    let json = || shapes::received(&report, &received, &arrived.hash);
    say(&args.form, "heads", json, || text::received(&report, &received))
}

fn write_table(args: &args::Table) -> Result<(), Failure> {
    if args.output.extension().is_none_or(|ending| !ending.eq_ignore_ascii_case("xlsx")) {
        return Err(Failure::CommandLine(format!(
            "`{}` should end in .xlsx, which says what to write",
            args.output.display()
        )));
    }
    let (folder, survey) = read(&args.survey)?;
    refuse_inside(&args.output, folder.root())?;
    let output = Output::open(&args.output)?;
    let date = args.date.unwrap_or_else(terminal::today);
    let report = build(survey, date)?;
    let order = report.string_order(Wanted::Advised, &OnTerminal::default())?;
    let order = (!order.is_empty()).then_some(&order);
    let workbook =
        document::results(&report, order, date).map_err(|fault| Failure::Bug(fault.to_string()))?;
    output.finish(&workbook)
}

fn draw(args: &args::Plot) -> Result<(), Failure> {
    let ending = args.output.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    if !matches!(ending, "svg" | "png") {
        return Err(Failure::CommandLine(format!(
            "`{}` should end in .svg or .png, which says what to write",
            args.output.display()
        )));
    }
    let (folder, survey) = read(&args.survey)?;
    refuse_inside(&args.output, folder.root())?;
    let output = Output::open(&args.output)?;
    let report = build(survey, terminal::today())?;
    let drawing = plots::draw(&report, args.of).map_err(|fault| Failure::Bug(fault.to_string()))?;
    let Some(drawing) = drawing else {
        return Err(Failure::CommandLine(format!(
            "the survey holds nothing that the {} plot could show",
            args.of.name()
        )));
    };
    if ending == "svg" {
        output.finish(drawing.as_bytes())
    } else {
        let picture = png::png(&drawing, PNG_WIDTH)
            .map_err(|fault| Failure::io("draw", &args.output, &fault))?;
        output.finish(&picture)
    }
}

/// A survey's folder is read, never written: a plot could overwrite its logo.
fn refuse_inside(output: &Path, survey: &Path) -> Result<(), Failure> {
    let parent = output.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    match (parent.canonicalize(), survey.canonicalize()) {
        (Ok(parent), Ok(survey)) if parent == survey => Err(Failure::CommandLine(format!(
            "`{}` lies among the survey's own files; choose another folder",
            output.display()
        ))),
        _ => Ok(()),
    }
}

fn write_packet(args: &args::Packet) -> Result<(), Failure> {
    let stamp = stamp(args)?;
    let (folder, survey) = read(&args.survey)?;
    let packet = Packet::open(&args.output, Some(folder.root()), args.force)?;
    let report = build(survey, stamp.date)?;
    let files = document::packet::packet(&report, &stamp, &OnTerminal::default())?;
    let names: Vec<&str> = files.iter().map(|file| file.name.as_str()).collect();
    let said = text::packet(&report, &args.output.display().to_string(), &names);
    packet.finish(&files)?;
    terminal::print(&said)
}

fn stamp(args: &args::Packet) -> Result<Stamp, Failure> {
    let date = match &args.date {
        Some(text) => Date::parse(text).ok_or_else(|| {
            Failure::CommandLine(format!(
                "`{text}` is not a date; write it as year-month-day, such as 2026-11-25"
            ))
        })?,
        None => terminal::today(),
    };
    Ok(Stamp { date, paper: args.paper, also_inches: args.also_inches })
}
