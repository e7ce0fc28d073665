//! `screen`: how big, how far away, how high the lens.

use super::Trouble;
use super::answer::Answer;
use super::lens::projection;
use super::read;
use seamster::craft::screen::{Area, Sweep, farthest, height_needed, lens_heights, needed, share_covered};
use seamster::quantity::{Angle, Length, Projection, show};

/// How big must the screen be, how far away, and how high the lens?
///
/// Give the distance and get the size, give the size and get the distance, or give
/// both and hear whether the screen covers what moves in front of it.
#[derive(Debug, clap::Args)]
#[command(group(clap::ArgGroup::new("known").args(["distance", "width"]).multiple(true).required(true)))]
pub(super) struct Args {
    /// Field that the hands sweep, across
    #[arg(long, value_parser = read::field, value_name = "ANGLE")]
    across: Angle,
    /// Field that they sweep, down
    #[arg(long, value_parser = read::field, value_name = "ANGLE")]
    down: Angle,
    /// From the lens to the screen, such as 2.5m
    #[arg(long, value_parser = read::length, value_name = "DISTANCE")]
    distance: Option<Length>,
    /// Width of the screen, such as 3m
    #[arg(long, value_parser = read::length, value_name = "LENGTH", requires = "height")]
    width: Option<Length>,
    /// Height of the screen, such as 2m
    #[arg(long, value_parser = read::length, value_name = "LENGTH", requires = "width")]
    height: Option<Length>,
    /// Lower edge of the screen above the floor
    #[arg(long, value_parser = read::height, value_name = "HEIGHT", default_value = "0m")]
    foot: Length,
    /// Where the lens looks; up is positive
    #[arg(long, value_parser = read::tilt, value_name = "ANGLE", default_value = "0deg")]
    tilt: Angle,
    /// The lens maps equal angles to equal lengths; else straight lines stay straight
    #[arg(long)]
    equidistant: bool,
}

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let sweep = Sweep { across: args.across, down: args.down };
    let maps = if args.equidistant { Projection::Equidistant } else { Projection::Rectilinear };
    let area = args.width.zip(args.height).map(|(width, height)| Area { width, height });
    let need = |distance| needed(sweep, distance, maps).ok_or_else(|| too_wide(sweep, maps));
    let most = |area| farthest(sweep, area, maps).ok_or_else(|| too_wide(sweep, maps));
    let answer = match (area, args.distance) {
        (Some(area), Some(distance)) => both((sweep, maps), area, distance, need(distance)?, most(area)?),
        (None, Some(distance)) => size(need(distance)?, need(distance * 0.75)?, distance),
        (Some(area), None) => {
            let farthest = most(area)?;
            away(farthest, need(farthest * 1.25)?)
        }
        (None, None) => return Err(Trouble::new("neither the screen nor its distance is stated")),
    };
    Ok(explained(with_heights(answer, args, area), args, maps))
}

fn too_wide(sweep: Sweep, maps: Projection) -> Trouble {
    let reach = match maps {
        Projection::Equidistant => (sweep.across.0 / 2.0).hypot(sweep.down.0 / 2.0),
        Projection::Rectilinear => sweep.across.0.max(sweep.down.0) / 2.0,
    };
    Trouble::new(format!(
        "no flat screen covers {} x {}: it reaches {} off the axis, and 85° is the limit",
        sweep.across,
        sweep.down,
        Angle(reach)
    ))
    .help("sweep less, or bring the screen round as a corner or a cove")
}

/// A size rounded up to a tenth of a metre.
fn up(area: Area) -> String {
    let up = |length: Length| format!("{:.1} m", (length.0 * 10.0 - 1e-9).ceil() / 10.0);
    format!("{} x {}", up(area.width), up(area.height))
}

/// An angle rounded down to whole degrees.
fn whole(angle: Angle) -> Angle {
    Angle((angle.0 + 1e-9).floor())
}

/// A distance rounded down to a centimetre.
fn down(length: Length) -> Length {
    Length((length.0 * 100.0 + 1e-9).floor() / 100.0)
}

fn size(needed: Area, smaller: Area, distance: Length) -> Answer {
    let nearer = distance * 0.75;
    Answer::new(format!("The screen must be at least {}, wide and high, at {distance}.", up(needed)))
        .or(format!("{} at {}", up(smaller), down(nearer)))
        .value("width", needed.width.0, "m")
        .value("height", needed.height.0, "m")
}

fn away(farthest: Length, larger: Area) -> Answer {
    let more = farthest * 1.25;
    Answer::new(format!("The screen may be at most {} from the lens.", down(farthest)))
        .or(format!("at {} with one of {}", down(more), up(larger)))
        .value("farthest", farthest.0, "m")
}

fn both(asked: (Sweep, Projection), area: Area, distance: Length, needed: Area, farthest: Length) -> Answer {
    let (sweep, maps) = asked;
    let fits = needed.width <= area.width * 1.000_001 && needed.height <= area.height * 1.000_001;
    let shown = format!("{} x {} at {distance}", area.width, area.height);
    let answer = if fits {
        Answer::new(format!("Enough: {shown} covers the sweep of {} x {}.", sweep.across, sweep.down))
    } else {
        Answer::new(format!("Not enough: {shown} leaves a part of {} x {} bare.", sweep.across, sweep.down))
    };
    let answer = answer
        .value("width", needed.width.0, "m")
        .value("height", needed.height.0, "m")
        .value("farthest", farthest.0, "m")
        .or(format!("at most {} from the lens", down(farthest)))
        .or(format!("a screen of at least {}", up(needed)));
    match share_covered(sweep, area, distance, maps).filter(|_| !fits) {
        Some(share) => answer
            .or(format!("sweep no more than {} x {}", whole(sweep.across * share), whole(sweep.down * share)))
            .value("share_covered", share, ""),
        None => answer,
    }
}

/// Where the lens stands for an upright screen.
fn with_heights(answer: Answer, args: &Args, area: Option<Area>) -> Answer {
    let (Some(area), Some(distance)) = (area, args.distance) else { return answer };
    let heights = lens_heights(args.foot, area.height, distance, args.down, args.tilt);
    // Nothing can stand below the floor.
    match heights.filter(|(_, high)| high.0 > 0.0) {
        Some((low, high)) => {
            let low = low.max(Length(0.0));
            answer
                .formula("lens: foot − distance × tan(tilt − down/2) to foot + height − distance × tan(tilt + down/2)")
                .says(format!("Lens from {low} to {high} above the floor, looking {}.", show::tilt(args.tilt)))
                .value("lowest", low.0, "m")
                .value("highest", high.0, "m")
        }
        None => answer
            .says(format!(
                "No height of the lens shows an upright screen behind all of the sweep while it looks {}.",
                show::tilt(args.tilt)
            ))
            .or("lean the screen to face the lens, or change the tilt")
            .or_any(
                height_needed(distance, args.down, args.tilt).filter(|high| *high > area.height).map(
                    |high| format!("an upright screen {:.1} m high", (high.0 * 10.0 - 1e-9).ceil() / 10.0),
                ),
            ),
    }
}

fn explained(answer: Answer, args: &Args, maps: Projection) -> Answer {
    let formula = match maps {
        Projection::Rectilinear => "size = 2 × distance × tan(sweep / 2), each way",
        Projection::Equidistant => {
            "size = 2 × distance × tan θ × (half sweep / θ), each way; θ = √(half across² + half down²)"
        }
    };
    answer
        .formula(formula)
        .input("sweep", format!("{} x {}, {}", args.across, args.down, projection(maps)))
        .input_if("distance", args.distance)
        .input_if("screen", args.width.zip(args.height).map(|(width, height)| format!("{width} x {height}")))
        .input("foot", args.foot)
        .input("tilt", show::tilt(args.tilt))
        .source("angle covered 2 atan(W / 2D), as in angle of view tables; equidistant: r = f θ (PanoTools)")
        .source("the screen is taken to face the lens, its middle on the axis")
        .source("hands 1.5 m or more before the screen, against spill: common practice, no source")
}
