//! From a plan to the text of its file.
//!
//! Guaranteed: the same plan gives the same text; one line a plate and a pass,
//! so that versions are easily compared; and whatever people wrote into the
//! file stays, or nothing is written.

use super::VERSION;
use super::read::{Day, Person};
use crate::model::Model;
use crate::order::{Plan, StepKind};
use crate::recipe::Breakdown;
use jiff::tz::TimeZone;
use serde::Serialize;
use std::fmt::Write;

/// The line with which the part begins that is written anew each time.
const BEGINS: &str = "shoot:";
/// The keys of that part.
const KEYS: [&str; 3] = ["shoot:", "done:", "desk:"];

/// The part of a plan file that is written anew each time.
#[derive(Serialize)]
struct Rest {
    shoot: Vec<Day>,
    #[serde(skip_serializing_if = "Option::is_none")]
    done: Option<String>,
    desk: Vec<Person>,
}

/// The part of a plan file that holds the plan itself.
///
/// Clock times of single plates and passes are left out: one more minute in the
/// morning would change every line of the day.
pub fn rest(model: &Model, breakdown: &Breakdown, plan: &Plan) -> String {
    let zone = TimeZone::get(&model.sequence.zone).unwrap_or(TimeZone::UTC);
    let day = |day: &crate::order::PlannedDay| {
        let plates = day.steps.iter().filter_map(|step| match step.kind {
            StepKind::Shoot(plate) => Some(breakdown.plates[plate].named.path.clone()),
            _ => None,
        });
        Day {
            day: day.date.to_string(),
            call: Some(day.call.clock(&zone)),
            wrap: Some(day.wrap.clock(&zone)),
            plates: plates.collect(),
        }
    };
    let person = |(id, desk): (crate::model::DeskId, &crate::model::Desk)| {
        let own = plan.desk.work.iter().filter(|one| one.desk == id);
        let mut own: Vec<_> = own.map(|one| (one.start, breakdown.passes[one.pass].path.clone())).collect();
        own.sort();
        let passes: Vec<String> = own.into_iter().map(|(_, path)| path).collect();
        (!passes.is_empty()).then(|| Person { person: desk.named.path.clone(), passes })
    };
    let last = plan.desk.finish;
    let rest = Rest {
        shoot: plan.shoot.days.iter().map(day).collect(),
        done: last.map(|end| end.civil(&zone).date().to_string()),
        desk: model.desks.iter().filter_map(person).collect(),
    };
    let text = serde_yaml::to_string(&rest).expect("texts and lists are always YAML");
    format!("{text}...\n")
}

/// The whole text of a plan file: what people wrote above the plan in the
/// former file, or a new head; then the plan.
///
/// # Errors
/// The number of a line of the former file that would be lost, and why.
pub fn renewed(former: Option<&str>, sequence: &str, rest: &str) -> Result<String, (usize, &'static str)> {
    let Some(former) = former else { return Ok(format!("{}{rest}", head(sequence))) };
    let mut text = String::new();
    let mut below = false;
    for (at, line) in former.split_inclusive('\n').enumerate() {
        below |= line.starts_with(BEGINS);
        if !below {
            text.push_str(line);
            continue;
        }
        let key = line.split_once(':').filter(|_| line.starts_with(|letter: char| letter.is_alphanumeric()));
        if key.is_some() && !KEYS.iter().any(|key| line.starts_with(key)) {
            return Err((at + 1, "it stands below 'shoot:', where everything is written anew"));
        }
        if line.trim_start().starts_with('#') || line.contains(" #") {
            return Err((at + 1, "a comment stands below 'shoot:', where everything is written anew"));
        }
    }
    if !below {
        return Err((1, "no line of it begins with 'shoot:'"));
    }
    text.push_str(rest);
    Ok(text)
}

fn head(sequence: &str) -> String {
    let mut text = format!(
        "# The plan of '{sequence}', from which the next build starts. What stands here above\n\
         # 'shoot:' is yours: pins and remarks. The rest is written anew by `build --keep`.\n\
         # `seamster explain --plan-file` says how to pin.\n"
    );
    let name = serde_yaml::to_string(sequence).expect("a text is always YAML");
    let _ = writeln!(text, "plan: {VERSION}\nsequence: {}\npins: []", name.trim_end());
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    const FORMER: &str = "# mine\nplan: 1\nsequence: small\npins:\n- plate: one.cup # the boat\n  on: 2027-05-14\nshoot: []\ndesk: []\n...\n";

    #[test]
    fn what_people_wrote_stays() {
        let text = renewed(Some(FORMER), "small", "shoot: []\ndone: 2027-05-20\ndesk: []\n...\n").unwrap();
        assert_eq!(text, FORMER.replace("desk", "done: 2027-05-20\ndesk"));
    }

    #[test]
    fn nothing_is_written_where_something_would_be_lost() {
        for (was, is, line) in [
            ("desk: []", "desk: [] # Ada first", 8),
            ("desk: []", "# Ada first\ndesk: []", 8),
            ("shoot: []\n", "", 1),
            ("pins:\n- plate: one.cup # the boat\n  on: 2027-05-14\nshoot: []\n", "shoot: []\npins:\n", 5),
        ] {
            let former = FORMER.replacen(was, is, 1);
            assert_eq!(renewed(Some(&former), "small", "").map_err(|wrong| wrong.0), Err(line), "{former}");
        }
    }

    #[test]
    fn a_new_file_is_read_again() {
        let rest = "shoot: []\ndesk: []\n...\n";
        let text = renewed(None, "no", rest).unwrap();
        assert!(super::super::read::read(&text, "no").is_ok(), "{text}");
        assert_eq!(super::super::file_name("film.seam"), "film.plan.yaml");
    }
}
