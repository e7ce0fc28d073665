//! `timecode`: labels, frames and real time.

use super::Trouble;
use super::answer::Answer;
use super::read;
use seamster::craft::frames::{frame_at, real_time};
use seamster::craft::timecode::{Counting, Timebase};
use seamster::diagnostic::text::plain;
use seamster::quantity::{FrameRate, show};

/// Which frame has this timecode, which timecode this frame?
///
/// Takes a label (`01:00:00:00`, drop-frame `01:00:00;00`), a frame number
/// (`86400`), or a time with its unit (`90s`).
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// A label, a frame number, or a time
    #[arg(value_name = "WHAT")]
    what: String,
    /// Frame rate, such as 25fps or 29.97fps
    #[arg(long, value_parser = read::rate, value_name = "RATE")]
    rate: FrameRate,
    /// Count drop-frame, which a label says by itself; 29.97 and 59.94 only
    #[arg(long)]
    drop: bool,
    /// A second label; the frames between are counted
    #[arg(long, value_name = "LABEL")]
    to: Option<String>,
}

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let what = args.what.trim();
    let is_label = what.contains(':');
    let counting = match args.drop {
        true => Counting::Drop,
        false if is_label => Counting::of(what),
        false => Counting::NonDrop,
    };
    let timebase = Timebase::new(args.rate, counting).map_err(|wrong| Trouble::new(wrong.to_string()))?;
    let frame = frame_of(what, is_label, timebase)?;
    let label = timebase.label(frame);
    let time = real_time(frame, args.rate);
    let exact = format!("{} s", show::number(time.0, 4));
    let mut answer = if is_label {
        Answer::new(format!("{label} is frame {frame}, {exact} after frame 0."))
    } else {
        Answer::new(format!("Frame {frame} is {label}, {exact} after frame 0."))
    };
    if frame >= timebase.frames_a_day() {
        answer = answer.says(format!(
            "That is beyond a day of {} frames; labels wrap at midnight.",
            timebase.frames_a_day()
        ));
    }
    if let Some(other) = other_counting(timebase) {
        answer = answer.or(format!("{} in {other}", other.label(frame)));
    }
    answer = answer.value("frame", frame as f64, "").value("time", time.0, "s");
    if let Some(to) = &args.to {
        let between = if is_label { timebase.frames_between(what, to.trim()) } else { Ok(0) };
        if !is_label {
            return Err(Trouble::new("frames between are counted from a label")
                .help("write the first as a label too"));
        }
        let between = between.map_err(|wrong| Trouble::new(plain(&wrong.to_string())))?;
        let span = real_time(between, args.rate);
        answer = answer
            .says(format!("To {} there are {between} frames, {} s.", plain(to), show::number(span.0, 4)))
            .value("between", between as f64, "");
    }
    Ok(answer
        .formula(
            "frame = (3600h + 60m + s) × N + f − d × (M − ⌊M/10⌋), M = 60h + m, d labels left out a minute",
        )
        .formula(format!("time = frame × {} / {}", args.rate.den, args.rate.num))
        .input("given", plain(what))
        .input("counted", timebase)
        .input_if("to", args.to.as_deref().map(plain))
        .source("SMPTE ST 12-1, by way of FFmpeg's and OpenTimelineIO's sources and tests"))
}

/// The other way of counting at this rate, where there is one.
fn other_counting(timebase: Timebase) -> Option<Timebase> {
    let other = match timebase.counting() {
        Counting::Drop => Counting::NonDrop,
        Counting::NonDrop => Counting::Drop,
    };
    Timebase::new(timebase.rate(), other).ok()
}

fn frame_of(what: &str, is_label: bool, timebase: Timebase) -> Result<u64, Trouble> {
    if is_label {
        return timebase.frame(what).map_err(|wrong| Trouble::new(plain(&wrong.to_string())));
    }
    if !what.is_empty() && what.bytes().all(|byte| byte.is_ascii_digit()) {
        return what
            .parse()
            .ok()
            .filter(|frame| *frame <= MOST)
            .ok_or_else(|| Trouble::new(format!("frame numbers end at {MOST}")));
    }
    let time = read::time(what).map_err(|wrong| {
        Trouble::new(format!("'{}' is no label, frame number or time: {wrong}", plain(what))).help(format!(
            "write a label such as {}, a frame such as 86400, or a time such as 90s",
            timebase.label(0)
        ))
    })?;
    frame_at(time, timebase.rate()).ok_or_else(|| Trouble::new("this time has no frame"))
}

/// Four hundred days at 120 frames a second.
const MOST: u64 = 4_147_200_000;
