//! `level`: what a phone's level must say, and how far it may be out.

use super::Trouble;
use super::answer::Answer;
use super::lens::{Lens, Seen};
use super::read;
use seamster::craft::aim::{horizon, roll_for, roll_shift, tilt_to};
use seamster::craft::join::{turn_allowed, turn_error};
use seamster::quantity::{Angle, Length, Pixels, show};

/// What must the phone's level say, and how far may it be out?
///
/// Heights and the distance give the tilt; the lens tells where the horizon lies and
/// what a degree of tilt or roll does to the picture.
#[derive(Debug, clap::Args)]
#[command(group(clap::ArgGroup::new("aim").args(["tilt", "height"]).required(true)))]
pub(super) struct Args {
    #[command(flatten)]
    lens: Lens,
    /// Height of the lens above the ground
    #[arg(long, value_parser = read::height, value_name = "HEIGHT", requires_all = ["target", "distance"])]
    height: Option<Length>,
    /// Height of what it looks at
    #[arg(long, value_parser = read::height, value_name = "HEIGHT", requires = "height")]
    target: Option<Length>,
    /// From the lens to it, along the ground
    #[arg(long, value_parser = read::length, value_name = "DISTANCE", requires = "height")]
    distance: Option<Length>,
    /// The tilt, where it is known; up is positive
    #[arg(long, value_parser = read::tilt, value_name = "ANGLE")]
    tilt: Option<Angle>,
    /// Width of the picture
    #[arg(long, value_parser = read::width, value_name = "PIXELS", default_value = "1920px")]
    width: Pixels,
    /// How far the level may be out
    #[arg(long, value_parser = read::off, value_name = "ANGLE", default_value = "1deg")]
    out: Angle,
    /// How far the picture may shift, to say how exact the level must be
    #[arg(long, value_parser = read::pixels, value_name = "PIXELS")]
    allow: Option<Pixels>,
}

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let seen = args.lens.seen()?;
    let tilt = match (args.tilt, args.height, args.target, args.distance) {
        (None, Some(height), Some(target), Some(distance)) => tilt_to(height, target, distance),
        (tilt, ..) => tilt.unwrap_or_default(),
    };
    let mut answer = Answer::new(format!("Tilt: {}.", show::tilt(tilt))).value("tilt", tilt.0, "deg");
    let near_upright = tilt.0.abs() + args.out.0 > 89.0;
    if let (Some(height), Some(distance), false) = (args.height, args.distance, near_upright) {
        let at = |off: f64| height.0 + distance.0 * (tilt.0 + off).to_radians().tan();
        let miss = Length((at(args.out.0) - at(-args.out.0)).abs() / 2.0);
        answer = answer
            .says(format!("{} out misses the point by {miss} at {distance}.", args.out))
            .value("miss", miss.0, "m");
    }
    if let Some(seen) = seen {
        answer = in_picture(answer, args, seen, tilt);
    }
    Ok(answer
        .formula("tilt = atan((height of the target − height of the lens) / distance)")
        .formula("shift = f × angle, f in pixels a radian; a roll lifts each edge by W/2 × sin(roll)")
        .input_if("tilt", args.tilt.map(show::tilt))
        .input_if("lens height", args.height)
        .input_if("target", args.target)
        .input_if("distance", args.distance)
        .input_if("lens", seen.map(|seen| seen.words(args.width)))
        .input("level out by", args.out)
        .input_if("allowed", args.allow.map(show::px))
        .source("plain trigonometry"))
}

fn in_picture(answer: Answer, args: &Args, seen: Seen, tilt: Angle) -> Answer {
    let focal = seen.focal(args.width);
    let mut answer = answer;
    match horizon(tilt, focal, seen.projection) {
        Some(Pixels(off)) if off.abs() >= 0.5 => {
            let side = if off > 0.0 { "below" } else { "above" };
            answer = answer
                .says(format!(
                    "The horizon lies {} {side} the middle of the picture.",
                    show::px(Pixels(off.abs()))
                ))
                .value("horizon_below_middle", off, "px");
        }
        Some(_) => answer = answer.says("The horizon lies in the middle of the picture."),
        None => answer = answer.says("The horizon is out of the picture."),
    }
    let (shift, roll) = (turn_error(focal, args.out), roll_shift(args.width, args.out));
    answer = answer
        .says(format!(
            "{} out in tilt shifts the picture by {}, in roll it lifts each edge by {}.",
            args.out,
            show::px(shift),
            show::px(roll)
        ))
        .value("shift", shift.0, "px")
        .value("roll_shift", roll.0, "px");
    let Some(allowed) = args.allow else { return answer };
    let (tilt, roll) = (turn_allowed(focal, allowed), roll_for(args.width, allowed));
    answer
        .or(format!(
            "tilt within {} and roll within {} for {}",
            show::level(tilt),
            show::level(roll),
            show::px(allowed)
        ))
        .value("tilt_within", tilt.0, "deg")
        .value("roll_within", roll.0, "deg")
}
