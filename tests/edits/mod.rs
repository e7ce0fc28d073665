//! Small edits of an example, drawn at random: what a writer changes in a minute.

#![allow(
    dead_code,
    missing_docs,
    unreachable_pub,
    clippy::disallowed_methods,
    reason = "shared by a test and a benchmark, which read real files"
)]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// Numbers that look random and are always the same: xorshift64* (S. Vigna, "An
/// experimental exploration of Marsaglia's xorshift generators, scrambled",
/// ACM Transactions on Mathematical Software 42, 2016).
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    pub fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        ((self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 33) as usize) % end.max(1)
    }
}

/// An example's texts by name of file.
pub type Texts = BTreeMap<String, String>;

/// The texts of an example.
pub fn texts(name: &str) -> Texts {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
    let mut texts = Texts::new();
    for entry in fs::read_dir(folder).expect("the example is there").flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.ends_with(".seam") {
            texts.insert(name, fs::read_to_string(entry.path()).expect("it is a text"));
        }
    }
    texts
}

/// One edit: what it is, the texts with it, and for each line of the new texts
/// by file the line of the old ones.
pub fn edit(texts: &Texts, dice: &mut Dice) -> Option<(String, Texts)> {
    let kind = dice.below(KINDS.len());
    let (what, try_edit) = KINDS.get(kind)?;
    let places: Vec<(String, usize)> = texts
        .iter()
        .flat_map(|(name, text)| (0..text.lines().count()).map(move |at| (name.clone(), at)))
        .collect();
    for _ in 0..400 {
        let (name, at) = places.get(dice.below(places.len()))?;
        let lines: Vec<&str> = texts.get(name)?.lines().collect();
        if let Some(lines) = try_edit(&lines, *at, dice) {
            let mut edited = texts.clone();
            edited.insert(name.clone(), lines.join("\n") + "\n");
            return Some((format!("{what}, {name}:{}", at + 1), edited));
        }
    }
    None
}

type Try = fn(&[&str], usize, &mut Dice) -> Option<Vec<String>>;

const KINDS: &[(&str, Try)] = &[
    ("a plate lasts longer or shorter", lasts),
    ("another number of takes", takes),
    ("one more plate", more),
    ("a plate less", less),
    ("an effect less", no_effect),
    ("a join less", no_join),
    ("somebody at the desk works more or less", desk_hours),
    ("a rig takes longer or shorter to fit", fitting),
    ("a place opens or closes otherwise", open),
    ("another way", travel),
    ("a person is there otherwise", hours),
    ("a note", note),
];

fn owned(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|line| (*line).to_owned()).collect()
}

/// The line with the number after a word changed.
fn number(
    lines: &[&str],
    at: usize,
    word: &str,
    unit: &str,
    change: impl Fn(f64) -> f64,
) -> Option<Vec<String>> {
    let line = lines.get(at)?;
    let from = line
        .find(&format!("{word} "))
        .filter(|at| line[..*at].trim_end().is_empty() || line[..*at].ends_with([' ', '{']))?;
    let rest = &line[from + word.len()..];
    let gap = rest.len() - rest.trim_start().len();
    let digits: String =
        rest.trim_start().chars().take_while(|one| one.is_ascii_digit() || *one == '.').collect();
    let after = &rest[gap + digits.len()..];
    if digits.is_empty() || !after.starts_with(unit) {
        return None;
    }
    let value = change(digits.parse().ok()?);
    let mut edited = owned(lines);
    *edited.get_mut(at)? = format!("{}{word}{}{value}{after}", &line[..from], &rest[..gap]);
    (edited.get(at)? != line).then_some(edited)
}

/// The last line of a block that begins on a line.
fn end(lines: &[&str], at: usize) -> Option<usize> {
    let mut depth = 0i32;
    for (line_at, line) in lines.iter().enumerate().skip(at) {
        let line = line.split(" #").next().unwrap_or_default();
        let (mut quoted, mut opened) = (false, false);
        for one in line.chars() {
            match one {
                '"' => quoted = !quoted,
                '{' if !quoted => (depth, opened) = (depth + 1, true),
                '}' if !quoted => depth -= 1,
                _ => {}
            }
        }
        if depth == 0 && (opened || line_at > at) {
            return Some(line_at);
        }
        if depth == 0 && line_at == at {
            return Some(at);
        }
    }
    None
}

fn word<'l>(lines: &[&'l str], at: usize) -> &'l str {
    lines.get(at).and_then(|line| line.split_whitespace().next()).unwrap_or_default()
}

fn without(lines: &[&str], at: usize) -> Option<Vec<String>> {
    let end = end(lines, at)?;
    let kept = lines.iter().enumerate().filter(|(line, _)| *line < at || *line > end);
    Some(kept.map(|(_, line)| (*line).to_owned()).collect())
}

fn lasts(lines: &[&str], at: usize, dice: &mut Dice) -> Option<Vec<String>> {
    let by = [0.8, 1.25, 1.5][dice.below(3)];
    number(lines, at, "lasts", " s", |value| (value * by).ceil())
}

fn takes(lines: &[&str], at: usize, dice: &mut Dice) -> Option<Vec<String>> {
    let more = dice.below(3) as f64;
    number(lines, at, "takes", "", |value| if more == 0.0 { (value - 1.0).max(1.0) } else { value + more })
}

/// The same plate again, under another name.
fn more(lines: &[&str], at: usize, _: &mut Dice) -> Option<Vec<String>> {
    if word(lines, at) != "plate" {
        return None;
    }
    let name = lines.get(at)?.split_whitespace().nth(1)?;
    let mut again: Vec<String> = owned(lines.get(at..=end(lines, at)?)?);
    let first = again.first_mut()?;
    *first = first.replacen(name, &format!("{name}_again"), 1);
    again.retain(|line| {
        !matches!(line.split_whitespace().next(), Some("enters" | "leaves" | "turns" | "accept" | "after"))
    });
    let mut edited = owned(lines);
    edited.splice(at..at, again);
    Some(edited)
}

fn less(lines: &[&str], at: usize, _: &mut Dice) -> Option<Vec<String>> {
    if word(lines, at) == "plate" { without(lines, at) } else { None }
}

fn no_effect(lines: &[&str], at: usize, _: &mut Dice) -> Option<Vec<String>> {
    if word(lines, at) == "effect" { without(lines, at) } else { None }
}

fn no_join(lines: &[&str], at: usize, _: &mut Dice) -> Option<Vec<String>> {
    if word(lines, at) == "join" { without(lines, at) } else { None }
}

fn desk_hours(lines: &[&str], at: usize, dice: &mut Dice) -> Option<Vec<String>> {
    let by = [-1.0, 1.0, 2.0][dice.below(3)];
    lines.get(at).filter(|line| line.contains("per day"))?;
    number(lines, at, "hours", " h", |value| (value + by).max(1.0))
}

fn fitting(lines: &[&str], at: usize, dice: &mut Dice) -> Option<Vec<String>> {
    let by = [-2.0, 3.0, 5.0][dice.below(3)];
    number(lines, at, "fitting", " min", |value| (value + by).max(0.0))
}

fn travel(lines: &[&str], at: usize, dice: &mut Dice) -> Option<Vec<String>> {
    let line = lines.get(at).filter(|line| line.starts_with("travel "))?;
    let digits = line.split_whitespace().nth(4)?;
    let by = [1, 3, 5][dice.below(3)];
    let mut edited = owned(lines);
    let minutes: i64 = digits.parse().ok()?;
    *edited.get_mut(at)? = line.replace(&format!(" {digits} "), &format!(" {} ", minutes + by));
    Some(edited)
}

/// Hours that begin a quarter or half an hour sooner or later.
fn shifted(lines: &[&str], at: usize, word: &str, dice: &mut Dice) -> Option<Vec<String>> {
    let line = lines.get(at)?;
    let from = line.find(&format!("{word} "))?;
    let dots = from + line[from..].find("..")?;
    let clock = line.get(dots.checked_sub(5)?..dots)?;
    let (hour, minute) = clock.split_once(':')?;
    let by = [-30, -15, 15, 30][dice.below(4)];
    let minutes = hour.parse::<i64>().ok()? * 60 + minute.parse::<i64>().ok()? + by;
    let mut edited = owned(lines);
    *edited.get_mut(at)? = line.replacen(clock, &format!("{:02}:{:02}", minutes / 60, minutes % 60), 1);
    (0..1440).contains(&minutes).then_some(edited)
}

fn open(lines: &[&str], at: usize, dice: &mut Dice) -> Option<Vec<String>> {
    shifted(lines, at, "open", dice)
}

fn hours(lines: &[&str], at: usize, dice: &mut Dice) -> Option<Vec<String>> {
    shifted(lines, at, "hours", dice)
}

fn note(lines: &[&str], at: usize, _: &mut Dice) -> Option<Vec<String>> {
    if word(lines, at) != "note" {
        return None;
    }
    let mut edited = owned(lines);
    let line = edited.get_mut(at)?;
    *line = line.replacen('"', "\"Also: ", 1);
    Some(edited)
}
