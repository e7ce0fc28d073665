//! `focus`: hyperfocal distance and depth of field.

use super::Trouble;
use super::answer::Answer;
use super::lens::millimetres;
use super::read;
use seamster::craft::focus::{Depth, Lens, setting_for, usual_circle};
use seamster::quantity::{Length, show};

/// What is in focus?
///
/// Says from which distance on everything is sharp; with --at what is sharp when
/// focused there; with --from and --to where to focus and how far to close the lens.
#[derive(Debug, clap::Args)]
#[command(group(clap::ArgGroup::new("sharpness").args(["circle", "sensor"]).required(true)))]
pub(super) struct Args {
    /// Real focal length, such as 2.8mm
    #[arg(long, value_parser = read::glass, value_name = "LENGTH")]
    focal: Length,
    /// Stop, such as 2.8 or f/2.8
    #[arg(long, value_parser = read::stop, value_name = "NUMBER")]
    stop: f64,
    /// Circle of confusion, such as 0.03mm
    #[arg(long, value_parser = read::glass, value_name = "LENGTH")]
    circle: Option<Length>,
    /// Width of the sensor, to take the usual circle for it
    #[arg(long, value_parser = read::glass, value_name = "LENGTH")]
    sensor: Option<Length>,
    /// Distance that is focused at
    #[arg(long, value_parser = read::length, value_name = "DISTANCE")]
    at: Option<Length>,
    /// Nearest thing that must be sharp
    #[arg(long, value_parser = read::length, value_name = "DISTANCE")]
    from: Option<Length>,
    /// Farthest thing that must be sharp; the horizon unless said
    #[arg(long, value_parser = read::length, value_name = "DISTANCE", requires = "from")]
    to: Option<Length>,
}

/// Stops that lenses are marked with.
const STOPS: &[f64] = &[1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0, 11.0, 16.0, 22.0, 32.0, 45.0, 64.0];

pub(super) fn answer(args: &Args) -> Result<Answer, Trouble> {
    let circle = args.circle.or(args.sensor.map(usual_circle)).unwrap_or_default();
    let lens = Lens { focal: args.focal, stop: args.stop, circle };
    let Some(hyperfocal) = lens.hyperfocal() else {
        return Err(Trouble::new(
            "this lens has no focus: focal length, stop and circle must be above nothing",
        ));
    };
    let f = show::number(args.stop, 1);
    let mut answer = Answer::default();
    if let Some(from) = args.from {
        answer = wanted(answer, args, lens, from)?;
    }
    if let Some(at) = args.at {
        let depth = lens.depth(at).ok_or_else(|| too_near("--at", at, args.focal))?;
        let far = depth.far.map_or("the horizon".to_owned(), |far| far.to_string());
        answer = answer
            .says(format!("Focused at {at} with f/{f} it is sharp from {} to {far}.", depth.near))
            .value("near", depth.near.0, "m");
        if let Some(far) = depth.far {
            answer = answer.value("far", far.0, "m");
        }
    }
    let half = hyperfocal * 0.5;
    let sentence = format!("focused at {hyperfocal} with f/{f} it is sharp from {half} to the horizon");
    answer = if args.at.is_some() || args.from.is_some() {
        answer.or(sentence)
    } else {
        answer.says(format!("{}.", sentence.replacen('f', "F", 1)))
    };
    Ok(explained(answer.value("hyperfocal", hyperfocal.0, "m"), args, circle))
}

fn too_near(what: &str, at: Length, focal: Length) -> Trouble {
    Trouble::new(format!("{what} {at} is not beyond the focal length, {focal}"))
        .help("distances count from the lens to the thing")
}

/// Where to focus and how far to close the lens.
fn wanted(answer: Answer, args: &Args, lens: Lens, from: Length) -> Result<Answer, Trouble> {
    if let Some(to) = args.to.filter(|to| *to <= from) {
        return Err(Trouble::new(format!("--to {to} is not beyond --from {from}"))
            .help("leave --to out for the horizon"));
    }
    let setting = setting_for(Depth { near: from, far: args.to }, args.focal, lens.circle)
        .ok_or_else(|| too_near("--from", from, args.focal))?;
    let stop = STOPS.iter().find(|stop| **stop >= setting.stop * 0.999);
    let far = args.to.map_or("the horizon".to_owned(), |far| far.to_string());
    let answer = answer.value("focus_at", setting.at.0, "m").value("stop", setting.stop, "");
    Ok(match stop {
        Some(stop) => {
            let enough = args.stop >= setting.stop * 0.999;
            let verdict = if enough { ", which the stop given does" } else { "" };
            answer.says(format!(
                "For {from} to {far}: focus at {} and close to f/{} or more{verdict}.",
                setting.at,
                show::number(*stop, 1)
            ))
        }
        None => answer.says(format!(
            "For {from} to {far} no usual stop is enough: f/{} at {} would be. \
             Go farther away, or use a shorter lens.",
            show::number(setting.stop.ceil(), 0),
            setting.at
        )),
    })
}

fn explained(answer: Answer, args: &Args, circle: Length) -> Answer {
    let answer = answer
        .formula("H = f² / (N c) + f; near = s (H − f) / (H + s − 2f); far = s (H − f) / (H − s)")
        .input("focal length", millimetres(args.focal))
        .input("stop", format!("f/{}", show::number(args.stop, 1)))
        .input("circle", millimetres(circle))
        .input_if("at", args.at)
        .input_if("from", args.from)
        .input_if("to", args.to)
        .source("thin lens, Greenleaf, Photographic Optics (1950)");
    match args.sensor {
        Some(sensor) => answer.input("sensor", millimetres(sensor)).source(
            "circle of confusion: 0.03 mm for a picture 36 mm wide, in proportion (convention; \
             less where single pixels count)",
        ),
        None => answer,
    }
}
