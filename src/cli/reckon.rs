//! `reckon`: answers on location, without a sequence.
//!
//! In: quantities as the language writes them. Out: the answer, what else would
//! do, and where it comes from. All computing is that of `craft`, which the
//! compiler uses too.

use super::report::Format;
use super::{Exit, Trouble, console};
use answer::Answer;

mod answer;
mod battery;
mod card;
mod crop;
mod fall;
mod focus;
mod hand_over;
mod lamps;
mod lens;
mod level;
mod light;
mod read;
mod retime;
mod screen;
mod slide;
mod timecode;
mod turn;
mod view;

/// Answer a question on location, without a sequence
///
/// Each question takes quantities as the language writes them (`2.8m/s`, `118deg`,
/// `1/240`), answers first, says what else would do, and then shows formula, inputs
/// and source. `seamster reckon QUESTION --help` lists what a question takes.
#[derive(Debug, clap::Args)]
#[command(subcommand_value_name = "QUESTION", subcommand_help_heading = "Questions")]
pub(super) struct Args {
    #[command(subcommand)]
    question: Question,
    /// How the answer is told: as text, or as one JSON object
    #[arg(long, value_enum, default_value = "text", global = true)]
    format: Format,
}

#[derive(Debug, clap::Subcommand)]
enum Question {
    Turn(turn::Args),
    HandOver(hand_over::Args),
    Screen(screen::Args),
    View(view::Args),
    Focus(focus::Args),
    Crop(crop::Args),
    Level(level::Args),
    Lamps(lamps::Args),
    Light(light::Args),
    Fall(fall::Args),
    Slide(slide::Args),
    Retime(retime::Args),
    Battery(battery::Args),
    Card(card::Args),
    Timecode(timecode::Args),
}

impl Question {
    fn word(&self) -> &'static str {
        match self {
            Question::Turn(_) => "turn",
            Question::HandOver(_) => "hand-over",
            Question::Screen(_) => "screen",
            Question::View(_) => "view",
            Question::Focus(_) => "focus",
            Question::Crop(_) => "crop",
            Question::Level(_) => "level",
            Question::Lamps(_) => "lamps",
            Question::Light(_) => "light",
            Question::Fall(_) => "fall",
            Question::Slide(_) => "slide",
            Question::Retime(_) => "retime",
            Question::Battery(_) => "battery",
            Question::Card(_) => "card",
            Question::Timecode(_) => "timecode",
        }
    }

    fn answer(&self) -> Result<Answer, Trouble> {
        match self {
            Question::Turn(args) => turn::answer(args),
            Question::HandOver(args) => hand_over::answer(args),
            Question::Screen(args) => screen::answer(args),
            Question::View(args) => view::answer(args),
            Question::Focus(args) => focus::answer(args),
            Question::Crop(args) => crop::answer(args),
            Question::Level(args) => level::answer(args),
            Question::Lamps(args) => lamps::answer(args),
            Question::Light(args) => light::answer(args),
            Question::Fall(args) => fall::answer(args),
            Question::Slide(args) => slide::answer(args),
            Question::Retime(args) => retime::answer(args),
            Question::Battery(args) => battery::answer(args),
            Question::Card(args) => card::answer(args),
            Question::Timecode(args) => timecode::answer(args),
        }
    }
}

/// Lets every quantity begin with a sign, so that one below nothing is told its
/// limit instead of being taken for an option.
pub(super) fn with_signs(command: clap::Command) -> clap::Command {
    command.mut_subcommands(|question| {
        question.mut_args(|arg| {
            let takes = arg.get_action().takes_values();
            arg.allow_hyphen_values(takes)
        })
    })
}

/// Answers.
pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let question = args.question.word();
    match (args.question.answer(), args.format) {
        (Ok(answer), Format::Text) => console::print(&answer.text())?,
        (Ok(answer), Format::Json) => console::print(&answer.json(question))?,
        (Err(trouble), Format::Text) => return Err(trouble),
        (Err(trouble), Format::Json) => {
            console::print(&answer::refused(question, &trouble))?;
            return Err(trouble);
        }
    }
    Ok(Exit::Clean)
}
