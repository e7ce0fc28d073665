//! Small films to write packets of: one room, one camera, as many beats as asked.

use crate::project;
use seamster::Compiled;

/// What is asked of a film; everything else is the same in each.
pub(crate) struct Film {
    /// As written: `29.97`.
    pub(crate) rate: &'static str,
    /// IANA name.
    pub(crate) zone: &'static str,
    /// The only day of the shoot.
    pub(crate) day: &'static str,
    /// Call and wrap.
    pub(crate) hours: (&'static str, &'static str),
    /// Title of the sequence, as it stands between quotes.
    pub(crate) title: String,
    /// Everything else.
    pub(crate) beats: String,
}

impl Default for Film {
    fn default() -> Self {
        Self {
            rate: "25",
            zone: "Europe/Lisbon",
            day: "2027-05-14",
            hours: ("08:00", "20:00"),
            title: "Film".into(),
            beats: String::new(),
        }
    }
}

impl Film {
    pub(crate) fn text(&self) -> String {
        let Self { rate, zone, day, hours: (call, wrap), title, beats } = self;
        format!(
            r#"
sequence film "{title}" {{ picture 1920x1080 at {rate} fps; zone "{zone}"; mains 50 Hz; handles 12 frames }}
camera pocket {{
  count 1; weighs 120 g; battery 600 min; recharge 60 min; card 640 GB
  mode still {{ frame 2560x1440 at 50 fps; shutter 1/100 s; view 70 deg rectilinear; stream 100 Mb/s; steady off }}
}}
rig stand {{ fixed yes; fitting 5 min; placing 0.5 cm, 0.3 deg; sway 0 deg/s; carries 2 kg; hands 2 }}
place room {{ light lamp; hospital "Nearest: none, this is a test" }}
place away {{ light lamp; open 02:00..02:01; hospital "Nearest: none, this is a test" }}
person alex {{ plays hands }}
person robin "Robin" {{ can pull }}
desk alex {{ does ingest, edit, roto, paint, comp, retime, grade, sound, delivery; hours 8 h per day }}
days from {day}, at most 1 {{ call {call}; wrap {wrap}; base room }}
finish by 2027-12-11
{beats}
"#
        )
    }

    pub(crate) fn compiled(&self) -> Compiled {
        project::text("film.seam", &self.text())
    }
}

/// A beat of one plate, so many frames long.
pub(crate) fn beat(name: &str, frames: u64, inside: &str) -> String {
    format!("beat {name} {{ runs {frames} frames; {}\n{inside} }}\n", plate("shot", "room", ""))
}

/// A plate of a minute.
pub(crate) fn plate(name: &str, place: &str, more: &str) -> String {
    format!(
        "plate {name} {{ place {place}; rig stand; camera pocket.still; person alex; lasts 60 s; takes 1; \
         between 0 s; hold locked; height 1 m; tilt 0 deg; near 1 m; hands out; {more} }}"
    )
}
