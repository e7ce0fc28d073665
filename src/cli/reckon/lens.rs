//! What the lens of a question sees, and what its shutter does.

use super::Trouble;
use super::read::{self, Shutter};
use seamster::craft::{optics, shutter};
use seamster::quantity::{Angle, FrameRate, Length, Pixels, Projection, Seconds, show};

/// A lens: its field, or its focal length and sensor.
#[derive(Debug, clap::Args)]
pub(super) struct Lens {
    /// Horizontal field of view, such as 118deg
    #[arg(long, value_parser = read::field, value_name = "ANGLE", conflicts_with_all = ["focal", "sensor"])]
    view: Option<Angle>,
    /// Real focal length instead of a field, such as 2.8mm
    #[arg(long, value_parser = read::glass, value_name = "LENGTH", requires = "sensor")]
    focal: Option<Length>,
    /// Width of the sensor that is used, such as 6.2mm
    #[arg(long, value_parser = read::glass, value_name = "LENGTH", requires = "focal")]
    sensor: Option<Length>,
    /// The lens maps equal angles to equal lengths, as a fisheye; else straight lines stay straight
    #[arg(long)]
    equidistant: bool,
}

/// What a lens sees.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen {
    pub(super) view: Angle,
    pub(super) projection: Projection,
}

impl Lens {
    /// What it sees; trouble where nothing was said of it.
    pub(super) fn needed(&self) -> Result<Seen, Trouble> {
        self.seen()?.ok_or_else(|| {
            Trouble::new("the lens is not stated")
                .help("give its field, --view 118deg, or --focal and --sensor; --equidistant for a fisheye")
        })
    }

    /// What it sees, where something was said of it.
    pub(super) fn seen(&self) -> Result<Option<Seen>, Trouble> {
        let projection = self.projection();
        let view = match (self.view, self.focal, self.sensor) {
            (Some(view), ..) => view,
            (None, Some(focal), Some(sensor)) => {
                optics::view(sensor, focal, projection).ok_or_else(|| {
                    Trouble::new(format!(
                        "a focal length of {} on a sensor of {} would see more than 360°",
                        millimetres(focal),
                        millimetres(sensor)
                    ))
                    .help("check both lengths; the focal length is the real one, not one 'as on 35 mm'")
                })?
            }
            _ => return Ok(None),
        };
        if projection == Projection::Rectilinear && view > optics::WIDEST_FLAT {
            return Err(Trouble::new(format!(
                "a rectilinear view is at most {}, and this is {view}",
                optics::WIDEST_FLAT
            ))
            .help("add --equidistant if the lens is a fisheye"));
        }
        Ok(Some(Seen { view, projection }))
    }

    /// How it maps angles, whether or not its field was given.
    pub(super) fn projection(&self) -> Projection {
        if self.equidistant { Projection::Equidistant } else { Projection::Rectilinear }
    }
}

impl Seen {
    /// Focal length in pixels of a picture of a width.
    pub(super) fn focal(self, width: Pixels) -> Pixels {
        optics::focal(width.0.round() as u32, self.view, self.projection)
    }

    /// In words, with the scale in a picture of a width.
    pub(super) fn words(self, width: Pixels) -> String {
        format!("{}, {} a radian at {} wide", self.name(), show::px(self.focal(width)), show::px(width))
    }

    /// `118° equidistant`.
    pub(super) fn name(self) -> String {
        format!("{} {}", self.view, projection(self.projection))
    }
}

/// How a lens maps angles, as the language writes it.
pub(super) fn projection(projection: Projection) -> &'static str {
    match projection {
        Projection::Rectilinear => "rectilinear",
        Projection::Equidistant => "equidistant",
    }
}

/// How long a shutter exposes, no longer than a frame where the rate is known.
pub(super) fn exposure(given: Shutter, rate: Option<FrameRate>) -> Result<Seconds, Trouble> {
    let (time, rate) = match (given, rate) {
        (Shutter::Time(time), None) => return Ok(time),
        (Shutter::Time(time), Some(rate)) => (time, rate),
        (Shutter::Angle(angle), Some(rate)) => (shutter::exposure(angle, rate), rate),
        (Shutter::Angle(_), None) => {
            return Err(Trouble::new("degrees of a shutter mean a time only at a frame rate")
                .help("add --rate, such as --rate 25fps"));
        }
    };
    let frame = Seconds(1.0 / rate.per_second());
    if time.0 > frame.0 * (1.0 + 1e-9) {
        return Err(Trouble::new(format!(
            "a shutter of {} is open longer than a frame lasts at {rate}, which is {}",
            show::exposure(time),
            show::exposure(frame)
        ))
        .help("choose a shorter exposure, or a lower frame rate"));
    }
    Ok(time)
}

/// A length inside a camera.
pub(super) fn millimetres(length: Length) -> String {
    format!("{} mm", show::number(length.0 * 1000.0, 3))
}
