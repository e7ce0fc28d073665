//! `fall`: how long it falls, and how fast.

use super::Trouble;
use super::answer::Answer;
use super::read;
use seamster::craft::motion::{fall_height, fall_speed, fall_speed_from, fall_time_from};
use seamster::quantity::{FrameRate, Length, Seconds, Speed, show};

/// How long does it fall, and how fast does it land?
///
/// Give the height, or the time that a fall is to take in the picture and get the
/// height that such a fall has.
#[derive(Debug, clap::Args)]
#[command(group(clap::ArgGroup::new("known").args(["height", "time"]).required(true)))]
pub(super) struct Args {
    /// Height of the fall, such as 2m
    #[arg(long, value_parser = read::drop, value_name = "HEIGHT")]
    height: Option<Length>,
    /// How long it falls, such as 0.8s
    #[arg(long, value_parser = read::some_time, value_name = "TIME")]
    time: Option<Seconds>,
    /// Speed downwards at the start
    #[arg(long, value_parser = read::start_speed, value_name = "SPEED", default_value = "0m/s")]
    start: Speed,
    /// Frame rate, to count frames
    #[arg(long, value_parser = read::rate, value_name = "RATE")]
    rate: Option<FrameRate>,
}

/// The longest fall for which leaving out the air is taken at its word.
const AIRLESS: Length = Length(20.0);

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let (height, time) = match (args.height, args.time) {
        (Some(height), _) => (height, fall_time_from(args.start, height)),
        (None, Some(time)) => (Length(args.start.0 * time.0) + fall_height(time), time),
        (None, None) => return Err(Trouble::new("neither the height nor the time is stated")),
    };
    let speed = fall_speed_from(args.start, height);
    let frames = args.rate.map_or_else(String::new, |rate| {
        format!(" ({} frames at {rate})", show::number(time.0 * rate.per_second(), 1))
    });
    let mut answer = match args.height {
        Some(_) => Answer::new(format!("A fall of {height} takes {time}{frames} and lands at {speed}.")),
        None => Answer::new(format!("A fall of {time}{frames} is {height} high and lands at {speed}.")),
    };
    let half = height * 0.5;
    answer = answer
        .or(format!(
            "half the height, {half}, takes {} and lands at {}",
            fall_time_from(args.start, half),
            fall_speed_from(args.start, half)
        ))
        .value("time", time.0, "s")
        .value("height", height.0, "m")
        .value("speed", speed.0, "m/s");
    if args.start.0 == 0.0 {
        let safe = Length(0.5).min(height);
        answer = answer
            .or(format!("jump {safe}, which lands at {}, and make the rest at the desk", fall_speed(safe)));
    }
    if height > AIRLESS {
        answer = answer
            .says(format!("Beyond {AIRLESS} air slows a body: really it takes longer and lands slower."))
            .source(format!("{AIRLESS} as the height from which air matters: common practice, no source"));
    }
    Ok(answer
        .formula("v = √(v₀² + 2 g h), t = (v − v₀) / g, g = 9.80665 m/s², without air")
        .input_if("height", args.height)
        .input_if("time", args.time)
        .input("start", args.start)
        .input_if("rate", args.rate)
        .source("free fall; g: 3rd General Conference on Weights and Measures (1901)")
        .caution("fall"))
}
