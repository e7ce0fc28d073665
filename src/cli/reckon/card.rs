//! `card`: how long the card lasts.

use super::Trouble;
use super::answer::Answer;
use super::read;
use seamster::craft::power::{card_time, recorded};
use seamster::quantity::{Data, Seconds, Stream, show};

/// How long does the card last?
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Space on the card, such as 64GB
    #[arg(long, value_parser = read::data, value_name = "DATA")]
    card: Data,
    /// Data stream of the mode, such as 100Mb/s
    #[arg(long, value_parser = read::stream, value_name = "STREAM")]
    stream: Stream,
    /// Length of a take, such as 40s
    #[arg(long, value_parser = read::some_time, value_name = "TIME")]
    take: Option<Seconds>,
    /// Takes that are planned
    #[arg(long, value_parser = read::count, value_name = "COUNT", requires = "take")]
    takes: Option<u32>,
}

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let time = card_time(args.card, args.stream)
        .ok_or_else(|| Trouble::new("without a data stream nothing is recorded"))?;
    let mut answer =
        Answer::new(format!("{} hold {time} at {} Mb/s.", args.card, show::number(args.stream.0 / 1e6, 3)))
            .value("time", time.0, "s");
    if let Some(take) = args.take {
        let fit = (time.0 / take.0 + 1e-9).floor();
        answer = answer
            .says(format!("{} takes of {take}, {} each.", show::number(fit, 0), recorded(args.stream, take)))
            .value("takes", fit, "");
    }
    if let (Some(take), Some(takes)) = (args.take, args.takes) {
        let needed = recorded(args.stream, take * f64::from(takes));
        answer = answer.value("needed", needed.0, "B");
        answer = if needed <= args.card {
            answer.says(format!("{takes} takes need {needed}: enough."))
        } else {
            let cards = (needed.0 / args.card.0).ceil();
            answer
                .says(format!("{takes} takes need {needed}: too little."))
                .or(format!("{} cards", show::number(cards, 0)))
                .or(format!("takes of {} at most", Seconds(time.0 / f64::from(takes))))
                .or(format!(
                    "a stream of {} Mb/s or less",
                    show::number((args.card.0 * 8.0 / (take.0 * f64::from(takes)) / 1e6).floor(), 0)
                ))
        };
    }
    Ok(answer
        .formula("time = data × 8 / stream; 1 GB is 10⁹ bytes")
        .input("card", args.card)
        .input("stream", format!("{} Mb/s", show::number(args.stream.0 / 1e6, 3)))
        .input_if("take", args.take)
        .input_if("takes", args.takes)
        .source("arithmetic; cards and streams vary, so keep a tenth free (common practice, no source)"))
}
