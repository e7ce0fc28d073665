//! `lamps`: which shutter is even under lamps on the mains.

use super::Trouble;
use super::answer::Answer;
use super::lens::exposure;
use super::read::{self, Shutter};
use seamster::craft::flicker::{Evenness, bands, beat, even_exposures, evenness, nearest_even, pulses};
use seamster::craft::shutter::angle;
use seamster::quantity::{FrameRate, Frequency, Seconds, show};

/// Which shutter is even under lamps on the mains?
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Mains frequency: 50Hz, or 60Hz
    #[arg(long, value_parser = read::mains, value_name = "FREQUENCY")]
    mains: Frequency,
    /// Frame rate of capture, such as 50fps
    #[arg(long, value_parser = read::rate, value_name = "RATE")]
    rate: FrameRate,
    /// The shutter in question: 1/60, or 180deg
    #[arg(long, value_parser = read::shutter, value_name = "EXPOSURE")]
    shutter: Option<Shutter>,
    /// Rolling shutter, top line to bottom line, to say how many bands show
    #[arg(long, value_parser = read::readout, value_name = "TIME")]
    readout: Option<Seconds>,
}

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let given = args.shutter.map(|shutter| exposure(shutter, Some(args.rate))).transpose()?;
    let mut answer = match given {
        Some(exposure) => judged(args, exposure),
        None => listed(args),
    };
    let uneven = given.is_some_and(|exposure| evenness(exposure, args.mains) != Evenness::Even);
    let swing = beat(args.mains, args.rate);
    if uneven || given.is_none() {
        answer = if swing.0 < 0.005 {
            answer
                .says(format!("At {} an uneven shutter stands still as bands; it does not pulse.", args.rate))
        } else {
            answer.says(format!(
                "At {} an uneven shutter goes bright and dark {} times a second.",
                args.rate,
                show::number(swing.0, 2)
            ))
        };
        answer = answer.value("beat", swing.0, "Hz");
    }
    if let Some(readout) = args.readout {
        let bands = bands(args.mains, readout);
        answer = answer
            .says(format!("A short shutter shows about {} bands.", show::number(bands, 1)))
            .value("bands", bands, "");
    }
    Ok(answer
        .formula(
            "even exposures = n / (2 × mains); beat = |2 × mains − k × rate|; bands = 2 × mains × readout",
        )
        .input("mains", format!("{} Hz", show::number(args.mains.0, 1)))
        .input("rate", args.rate)
        .input_if("shutter", given.map(show::exposure))
        .input_if("readout", args.readout)
        .source("lamps pulse twice a cycle of the mains; measured by oscilloscope at photo-spectrum.info"))
}

/// An exposure as time and degrees.
fn shown(exposure: Seconds, rate: FrameRate) -> String {
    format!("{} ({})", show::exposure(exposure), angle(exposure, rate))
}

/// The even shutters, those that people set first.
fn listed(args: &Args) -> Answer {
    let even = even_exposures(args.mains, args.rate);
    let Some(longest) = even.last() else { return Answer::new(none(args)) };
    let many: Vec<String> = even.iter().take(8).map(|&one| shown(one, args.rate)).collect();
    let more = if even.len() > 8 {
        format!(" and {} more, up to {}", even.len() - 8, shown(*longest, args.rate))
    } else {
        String::new()
    };
    Answer::new(format!("Even at {}: {}{more}.", args.rate, many.join(", ")))
        .or("lamps that do not pulse, with any shutter")
        .value("shortest", even.first().map_or(0.0, |one| one.0), "s")
        .value("longest", longest.0, "s")
}

fn none(args: &Args) -> String {
    format!(
        "None: a frame at {} is shorter than a pulse of the lamps, {}. \
         Use lamps that do not pulse, or a rate of {} fps or less.",
        args.rate,
        show::exposure(Seconds(1.0 / (2.0 * args.mains.0))),
        show::number(2.0 * args.mains.0, 1)
    )
}

fn judged(args: &Args, exposure: Seconds) -> Answer {
    let gathered = pulses(exposure, args.mains);
    let verdict = match evenness(exposure, args.mains) {
        Evenness::Even => "even",
        Evenness::Nearly => "nearly even; a slow beat may be seen",
        Evenness::Uneven => "uneven",
    };
    let mut answer = Answer::new(format!(
        "{} gathers {} pulses: {verdict}.",
        shown(exposure, args.rate),
        show::number(gathered, 3)
    ))
    .value("pulses", gathered, "");
    if evenness(exposure, args.mains) == Evenness::Even {
        return answer;
    }
    let (shorter, longer) = nearest_even(exposure, args.mains, Seconds(1.0 / args.rate.per_second()));
    if shorter.or(longer).is_none() {
        answer = answer.says(none(args));
    }
    answer
        .or_any([shorter, longer].into_iter().flatten().map(|even| shown(even, args.rate)))
        .or("lamps that do not pulse")
}
