//! The units that may be written, and what each means.

/// What kind of quantity a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Dimension {
    /// A bare count.
    Number,
    /// Metres.
    Length,
    /// Kilograms.
    Mass,
    /// Seconds; `frames` and `fr` count frames of the picture.
    Time,
    /// Degrees.
    Angle,
    /// Degrees per second.
    TurnRate,
    /// Metres per second.
    Speed,
    /// Bytes.
    Data,
    /// Bits per second.
    Stream,
    /// Hertz.
    Frequency,
    /// Frames per second.
    FrameRate,
    /// 1 is the whole.
    Share,
    /// Stops.
    Light,
    /// Pixels.
    Pixels,
    /// Degrees Celsius.
    Temperature,
}

/// One unit: how it is written, what it measures, and how many base units it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// As written.
    pub word: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Base units in one of it.
    pub factor: f64,
}

const fn unit(word: &'static str, dimension: Dimension, factor: f64) -> Unit {
    Unit { word, dimension, factor }
}

/// Every unit of the language; the first of each dimension is the one examples use.
pub const UNITS: &[Unit] = &[
    unit("m", Dimension::Length, 1.0),
    unit("cm", Dimension::Length, 0.01),
    unit("mm", Dimension::Length, 0.001),
    unit("km", Dimension::Length, 1000.0),
    unit("kg", Dimension::Mass, 1.0),
    unit("g", Dimension::Mass, 0.001),
    unit("s", Dimension::Time, 1.0),
    unit("ms", Dimension::Time, 0.001),
    unit("min", Dimension::Time, 60.0),
    unit("h", Dimension::Time, 3600.0),
    unit("deg", Dimension::Angle, 1.0),
    unit("deg/s", Dimension::TurnRate, 1.0),
    unit("m/s", Dimension::Speed, 1.0),
    unit("km/h", Dimension::Speed, 1.0 / 3.6),
    unit("GB", Dimension::Data, 1e9),
    unit("MB", Dimension::Data, 1e6),
    unit("TB", Dimension::Data, 1e12),
    unit("Mb/s", Dimension::Stream, 1e6),
    unit("Hz", Dimension::Frequency, 1.0),
    unit("fps", Dimension::FrameRate, 1.0),
    unit("%", Dimension::Share, 0.01),
    unit("stop", Dimension::Light, 1.0),
    unit("stops", Dimension::Light, 1.0),
    unit("px", Dimension::Pixels, 1.0),
    unit("C", Dimension::Temperature, 1.0),
];

/// Words for frames of the picture, which are time only once the rate is known.
pub const FRAME_WORDS: &[&str] = &["frames", "frame"];

/// The unit written so, if there is one.
pub fn find(word: &str) -> Option<Unit> {
    UNITS.iter().copied().find(|unit| unit.word == word)
}

impl Dimension {
    /// What people call it.
    pub fn word(self) -> &'static str {
        match self {
            Dimension::Number => "a number",
            Dimension::Length => "a length",
            Dimension::Mass => "a mass",
            Dimension::Time => "a time span",
            Dimension::Angle => "an angle",
            Dimension::TurnRate => "a turn rate",
            Dimension::Speed => "a speed",
            Dimension::Data => "an amount of data",
            Dimension::Stream => "a data stream",
            Dimension::Frequency => "a frequency",
            Dimension::FrameRate => "a frame rate",
            Dimension::Share => "a share",
            Dimension::Light => "a light level",
            Dimension::Pixels => "a distance in pixels",
            Dimension::Temperature => "a temperature",
        }
    }

    /// An example of one, as written.
    pub fn example(self) -> &'static str {
        match self {
            Dimension::Number => "2",
            Dimension::Length => "1.68 m",
            Dimension::Mass => "27 g",
            Dimension::Time => "40 s",
            Dimension::Angle => "-35 deg",
            Dimension::TurnRate => "40 deg/s",
            Dimension::Speed => "3.1 m/s",
            Dimension::Data => "32 GB",
            Dimension::Stream => "80 Mb/s",
            Dimension::Frequency => "50 Hz",
            Dimension::FrameRate => "25 fps",
            Dimension::Share => "70%",
            Dimension::Light => "1/3 stop",
            Dimension::Pixels => "4 px",
            Dimension::Temperature => "8 C",
        }
    }
}
