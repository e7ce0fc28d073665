//! `log`: a day log to begin with.

use super::report::Effort;
use super::timings::Timings;
use super::{Exit, Trouble, console, project};
use jiff::civil::Date;
use seamster::order::PlannedDay;
use seamster::record;
use std::path::PathBuf;

/// Begin a log of a day: its plates in order, to be filled in
///
/// The log is printed; put it into a file of any name that ends in `.seam` in the
/// folder `logs/` beside the sequence. `seamster explain --log-files` says how it
/// is written.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The file that the sequence begins with, or its folder; `-` reads standard input
    file: PathBuf,
    /// The day: its number on the papers, or its date (`1`, `2027-05-14`)
    day: String,
    #[command(flatten)]
    effort: Effort,
}

/// Prints the log.
pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let compiled = project::compile(&args.file, args.effort.value(), &mut Timings::start(false))?.compiled;
    let days = &compiled.plan.shoot.days;
    let day = find(days, &args.day).ok_or_else(|| unknown(days, &args.day))?;
    let papers = compiled.packet(false).head.version;
    console::print(&record::skeleton(&compiled.model, &compiled.breakdown, day, &papers))?;
    if !compiled.has_errors() {
        return Ok(Exit::Clean);
    }
    console::tell("the sequence has errors; `seamster check` tells them\n");
    Ok(Exit::Errors)
}

fn find<'a>(days: &'a [PlannedDay], word: &str) -> Option<&'a PlannedDay> {
    if let Ok(number) = word.parse::<usize>() {
        return days.iter().find(|day| day.number == number);
    }
    let date: Date = word.parse().ok()?;
    days.iter().find(|day| day.date == date)
}

fn unknown(days: &[PlannedDay], word: &str) -> Trouble {
    let dates: Vec<String> = days.iter().map(|day| day.date.to_string()).collect();
    let word = seamster::diagnostic::text::plain(word);
    Trouble::new(format!("nothing is planned on '{word}'")).help(match dates.as_slice() {
        [] => "the plan holds no day of shooting; `seamster check` says why".into(),
        _ => format!("something is shot on {}", dates.join(", ")),
    })
}
