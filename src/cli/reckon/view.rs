//! `view`: what the lens sees, and how finely.

use super::Trouble;
use super::answer::Answer;
use super::lens::{Lens, Seen, millimetres};
use super::read;
use seamster::craft::optics::{
    distance_for, field_width, focal_length, pixels_per_degree, pixels_per_degree_at, view_down,
};
use seamster::quantity::{Angle, FrameSize, Length, Pixels, Projection, show};

/// What does the lens see, how wide at a distance, and how finely?
///
/// With --distance it says how wide the view is there; with --wide from how far a
/// thing of that width fills the picture, and which focal length would fill it.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    lens: Lens,
    /// Captured picture, such as 2560x1440
    #[arg(long, value_parser = read::size, value_name = "SIZE", default_value = "1920x1080")]
    frame: FrameSize,
    /// How far away, such as 3m
    #[arg(long, value_parser = read::length, value_name = "DISTANCE")]
    distance: Option<Length>,
    /// How wide a thing is that is to fill the picture
    #[arg(long, value_parser = read::length, value_name = "LENGTH")]
    wide: Option<Length>,
    /// Width of the sensor, to say which focal length would do
    #[arg(long, value_parser = read::glass, value_name = "LENGTH", requires_all = ["wide", "distance"])]
    on_sensor: Option<Length>,
}

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let seen = args.lens.needed()?;
    let width = Pixels(f64::from(args.frame.width));
    let down = view_down(args.frame, seen.view, seen.projection);
    let mut answer = Answer::new(format!("It sees {} across and {down} down.", seen.view))
        .value("across", seen.view.0, "deg")
        .value("down", down.0, "deg");
    answer = fineness(answer, seen, width);
    if let Some(distance) = args.distance {
        answer = at_distance(answer, args, seen, distance)?;
    }
    if let Some(wide) = args.wide {
        answer = filling(answer, args, seen, wide)?;
    }
    Ok(answer
        .formula("width = 2 × distance × tan(view / 2)")
        .formula(match seen.projection {
            Projection::Rectilinear => {
                "px a degree = f π / 180 / cos²(angle off the axis), f = W / (2 tan(view / 2))"
            }
            Projection::Equidistant => "px a degree = W / view, the same everywhere",
        })
        .input("lens", seen.words(width))
        .input("frame", format!("{}x{}", args.frame.width, args.frame.height))
        .input_if("distance", args.distance)
        .input_if("wide", args.wide)
        .input_if("sensor", args.on_sensor.map(millimetres))
        .source("Claff, Angle of View Values (2006); PanoTools, Fisheye Projection, for equidistant"))
}

fn fineness(answer: Answer, seen: Seen, width: Pixels) -> Answer {
    let focal = seen.focal(width);
    let middle = pixels_per_degree(focal);
    let edge = pixels_per_degree_at(focal, Angle(seen.view.0 / 2.0), seen.projection);
    let shown = |value: f64| show::number(value, 1);
    match (seen.projection, edge) {
        (Projection::Rectilinear, Some(edge)) => answer
            .says(format!("{} px a degree in the middle, {} at the edge.", shown(middle), shown(edge)))
            .value("middle", middle, "px/deg")
            .value("edge", edge, "px/deg"),
        _ => answer
            .says(format!("{} px a degree everywhere along a line through the middle.", shown(middle)))
            .value("middle", middle, "px/deg"),
    }
}

/// What a view of 180° and more does not have.
fn no_wall(seen: Seen) -> Trouble {
    Trouble::new(format!("a view of {} has no width at a distance: the limit is below 180°", seen.view))
        .help("ask without --distance and --wide, or give a narrower view")
}

fn at_distance(answer: Answer, args: &Args, seen: Seen, distance: Length) -> Result<Answer, Trouble> {
    let wide = field_width(distance, seen.view).ok_or_else(|| no_wall(seen))?;
    let answer = answer.says(format!("At {distance} it sees {wide} across.")).value("wide", wide.0, "m");
    let down = view_down(args.frame, seen.view, seen.projection);
    Ok(match field_width(distance, down) {
        Some(high) => answer.says(format!("At {distance} it sees {high} down.")).value("high", high.0, "m"),
        None => answer,
    })
}

fn filling(answer: Answer, args: &Args, seen: Seen, wide: Length) -> Result<Answer, Trouble> {
    let from = distance_for(wide, seen.view).ok_or_else(|| no_wall(seen))?;
    let mut answer = answer.says(format!("What is {wide} wide fills the picture from {from}.")).value(
        "filled_from",
        from.0,
        "m",
    );
    if let (Some(sensor), Some(distance)) = (args.on_sensor, args.distance) {
        let view = seamster::craft::optics::angle_covered(wide, distance);
        if let Some(focal) = focal_length(sensor, view, seen.projection) {
            answer = answer
                .or(format!(
                    "a focal length of {} on {} fills it from {distance}",
                    millimetres(focal),
                    millimetres(sensor)
                ))
                .value("focal", focal.0, "m");
        }
    }
    Ok(answer)
}
