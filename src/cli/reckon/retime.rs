//! `retime`: how much source a change of speed eats.

use super::Trouble;
use super::answer::Answer;
use super::lens::exposure;
use super::read::{self, Curve, Shutter};
use seamster::craft::retime::{
    effective_shutter, fastest, frames_each, full_frames_speed, mean_speed, slowest, source_needed,
};
use seamster::model::Budgets;
use seamster::quantity::{FrameRate, Seconds, Share, TimeSpan, show};

/// How much source does a change of speed need?
///
/// A speed is written as in the language: `200%`, a range `70%..300%`, or points of
/// a curve, `0% at 100%, 100% at 400%`.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Length in the picture, such as 4s or "48 frames"
    #[arg(long, value_parser = read::some_span, value_name = "TIME")]
    lasts: TimeSpan,
    /// Speed of playing: 200%, 70%..300%, or "0% at 100%, 100% at 400%"
    #[arg(long, value_parser = read::curve, value_name = "SPEED")]
    speed: Curve,
    /// Frame rate of the delivered picture
    #[arg(long, value_parser = read::rate, value_name = "RATE")]
    rate: FrameRate,
    /// Frame rate of capture; that of the picture unless said
    #[arg(long, value_parser = read::rate, value_name = "RATE")]
    captured: Option<FrameRate>,
    /// Extra at both ends
    #[arg(long, value_parser = read::span, value_name = "TIME", default_value = "12 frames")]
    handles: TimeSpan,
    /// Exposure, to say which shutter the eye reads
    #[arg(long, value_parser = read::shutter, value_name = "EXPOSURE")]
    shutter: Option<Shutter>,
    /// Length of the take that there is
    #[arg(long, value_parser = read::some_time, value_name = "TIME")]
    take: Option<Seconds>,
}

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let capture = args.captured.unwrap_or(args.rate);
    let points = &args.speed.points;
    let (Some(slow), Some(fast)) = (slowest(points), fastest(points)) else {
        return Err(
            Trouble::new("the speed has no points").help("write it as 200%, or \"0% at 100%, 100% at 400%\"")
        );
    };
    let (result, handles) = (args.lasts.seconds(args.rate), args.handles.seconds(args.rate));
    let (mean, needed) = (mean_speed(points), source_needed(result, points, handles));
    let frames = (needed.0 * capture.per_second() - 1e-6).ceil();
    let mut answer = Answer::new(format!(
        "Capture at least {needed}, {} frames at {capture}, for {result} in the picture.",
        show::number(frames, 0)
    ))
    .value("source", needed.0, "s")
    .value("source_frames", frames, "");
    if let Some(take) = args.take {
        answer = with_take(answer, take, needed, result, handles, mean);
    }
    answer = invented(answer, args, capture, slow);
    if let Some(shutter) = args.shutter {
        let open = exposure(shutter, Some(capture))?;
        let reads = |speed| effective_shutter(open, args.rate, speed);
        answer = answer
            .says(format!(
                "{} reads as a shutter of {} at {slow} and {} at {fast}; below 90° add blur at the desk.",
                show::exposure(open),
                reads(slow),
                reads(fast)
            ))
            .value("shutter_at_slowest", reads(slow).0, "deg")
            .value("shutter_at_fastest", reads(fast).0, "deg");
    }
    Ok(answer
        .formula("source = ∫ speed over the result + handles at both ends")
        .formula("frames each = speed × capture / picture")
        .formula("shutter as it reads = 360° × exposure × picture rate / speed")
        .input("in the picture", result)
        .input("speed", &args.speed.written)
        .input("mean speed", Share(mean))
        .input("picture", args.rate)
        .input("captured", capture)
        .input("handles", handles)
        .input_if("take", args.take)
        .source("calculus, straight lines between the points of a curve")
        .source("frames invented down to half: common practice, no source"))
}

/// Whether the take that there is will do.
fn with_take(
    answer: Answer,
    take: Seconds,
    needed: Seconds,
    result: Seconds,
    handles: Seconds,
    mean: f64,
) -> Answer {
    if take.0 + 1e-9 >= needed.0 {
        return answer.says(format!("A take of {take} is enough."));
    }
    let usable = Seconds((take.0 - 2.0 * handles.0).max(0.0));
    let answer = answer.says(format!("A take of {take} is too short by {}.", needed - take));
    if usable.0 <= 0.0 {
        return answer.says("It is no longer than its handles.");
    }
    let most = Share((usable.0 / result.0 * 100.0).floor() / 100.0);
    let shorter = Seconds(usable.0 / mean.max(1e-9));
    answer
        .or(format!("keep the mean speed at {most} or below"))
        .or(format!("{shorter} in the picture"))
        .value("most_mean_speed", usable.0 / result.0, "")
}

/// Whether frames must be invented at the slowest.
fn invented(answer: Answer, args: &Args, capture: FrameRate, slow: Share) -> Answer {
    let each = frames_each(slow, capture, args.rate);
    let answer = answer.value("frames_each_at_slowest", each.0, "");
    if each.0 >= 1.0 - 1e-9 {
        return answer.says(format!("At {slow} every frame of the picture was captured."));
    }
    let limit = Budgets::default().slowest;
    let verdict = if each.0 >= limit.0 - 1e-9 { "that may do" } else { "that is too few" };
    let rate = args.rate.per_second() / slow.0;
    answer
        .says(format!(
            "At {slow} there are {} captured frames for each of the picture, the rest is invented: {verdict}.",
            show::number(each.0, 2)
        ))
        .or(format!("capture at {} fps or more to invent none", show::number((rate - 1e-9).ceil(), 0)))
        .or(format!("go no slower than {}", full_frames_speed(capture, args.rate)))
}
