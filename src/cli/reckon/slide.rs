//! `slide`: how far it slides, and how far until something stands.

use super::Trouble;
use super::answer::Answer;
use super::read;
use seamster::craft::motion::{relative_speed, slide_time, stopping_length, stopping_speed};
use seamster::quantity::{Length, Seconds, Speed, show};

/// How far does it slide before it stands?
///
/// With --onto the slide ends when the speeds are the same, as of a body that lands
/// on a moving cart. With --noticed the way before anybody brakes comes on top. With
/// --within it says how fast it may be.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Speed at the start, such as 2.8m/s
    #[arg(long, value_parser = read::speed, value_name = "SPEED")]
    speed: Speed,
    /// Speed of what it lands on; against the direction it is negative
    #[arg(long, value_parser = read::any_speed, value_name = "SPEED", default_value = "0m/s")]
    onto: Speed,
    /// Friction: clothes on a padded floor 0.4, ice 0.05, rubber on a dry road 0.7
    #[arg(long, value_parser = read::friction, value_name = "NUMBER", default_value = "0.4")]
    friction: f64,
    /// Time before braking begins, such as 0.67s for a driver
    #[arg(long, value_parser = read::time, value_name = "TIME", default_value = "0s")]
    noticed: Seconds,
    /// Room that there is
    #[arg(long, value_parser = read::length, value_name = "LENGTH")]
    within: Option<Length>,
}

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let gap = relative_speed(args.speed, args.onto);
    if gap.0 <= 0.0 {
        return Ok(explained(
            Answer::new("It does not slide: both have the same speed.").value("length", 0.0, "m"),
            args,
            gap,
        ));
    }
    let slides = stopping_length(gap, args.noticed, args.friction).ok_or_else(|| {
        Trouble::new("without friction nothing slows it").help("give a friction from 0.01 to 2")
    })?;
    let up = Length((slides.0 * 10.0 - 1e-9).ceil() / 10.0);
    let (does, leave) =
        if args.noticed.0 > 0.0 { ("stands after", "Keep clear") } else { ("slides", "Pad and clear") };
    let mut answer = Answer::new(format!("It {does} about {up} from {gap}."))
        .says(format!(
            "{leave} at least three times as far, {}, and try it slower first.",
            Length(up.0 * 3.0)
        ))
        .value("length", slides.0, "m");
    if let Some(time) = slide_time(gap, args.friction) {
        let lasts = time + args.noticed;
        answer = answer.says(format!("That lasts {lasts}.")).value("time", lasts.0, "s");
    }
    if let Some(room) = args.within {
        answer = within(answer, args, room, slides);
    }
    Ok(explained(answer, args, gap))
}

/// What a room allows.
fn within(answer: Answer, args: &Args, room: Length, slides: Length) -> Answer {
    let verdict = if slides <= room { "enough" } else { "too short" };
    let answer = answer.says(format!("A room of {room} is {verdict}."));
    match stopping_speed(room, args.noticed, args.friction) {
        Some(most) => answer
            .or(format!("{} at most, to stand within {room}", Speed((most.0 * 10.0 + 1e-9).floor() / 10.0)))
            .value("fastest", most.0, "m/s"),
        None => answer,
    }
}

fn explained(answer: Answer, args: &Args, gap: Speed) -> Answer {
    answer
        .formula("length = v × time to notice + v² / (2 μ g), v the difference of the speeds")
        .formula("time = time to notice + v / (μ g)")
        .input("speed", args.speed)
        .input("onto", args.onto)
        .input("difference", gap)
        .input("friction", show::number(args.friction, 2))
        .input("noticed after", args.noticed)
        .input_if("room", args.within)
        .source("Coulomb friction; three times as far: common practice, no source")
        .source("friction of clothes, ice and rubber: common practice, no source; try it with a weight first")
        .caution(if args.noticed.0 > 0.0 { "traffic" } else { "fall" })
}
