//! What every picture of every example keeps to.

use super::day::{self, Doing};
use super::desk::{self, DeskChart};
use super::draw::{Area, Canvas};
use super::ribbon;
use crate::craft::sun;
use crate::model::PlateKind;
use crate::order::{Minute, StepKind};
use crate::packet::index::Index;
use crate::packet::{self, Input};
use crate::{Compiled, Reader};

/// The examples, in memory.
struct Texts(&'static [(&'static str, &'static str)]);

impl Reader for Texts {
    fn read(&mut self, path: &str) -> Result<Vec<u8>, String> {
        let found = self.0.iter().find(|(name, _)| *name == path);
        found.map(|(_, text)| text.as_bytes().to_vec()).ok_or_else(|| "no such file".to_owned())
    }

    fn recipes(&mut self) -> Result<Vec<String>, String> {
        Ok(self
            .0
            .iter()
            .filter(|(name, _)| name.starts_with("recipes/"))
            .map(|(name, _)| (*name).to_owned())
            .collect())
    }
}

macro_rules! file {
    ($example:literal, $name:literal) => {
        ($name, include_str!(concat!("../../../examples/", $example, "/", $name)))
    };
}

fn examples() -> Vec<Compiled> {
    let texts: [&[_]; 3] = [
        &[
            file!("night-parcel", "night-parcel.seam"),
            file!("night-parcel", "kit.seam"),
            file!("night-parcel", "people.seam"),
        ],
        &[file!("one-look", "one-look.seam"), file!("one-look", "kit.seam")],
        &[file!("table-top", "table-top.seam"), file!("table-top", "recipes/steam_over.yaml")],
    ];
    let compiled = texts.map(|texts| {
        let loaded = crate::load(&mut Texts(texts), texts[0].0).expect("the example is there");
        crate::compile(loaded, &mut |_| {})
    });
    compiled.into()
}

fn with_index(compiled: &Compiled, look: impl FnOnce(&Index<'_>)) {
    let text_hash = packet::text_hash(&compiled.sources);
    let input = Input {
        sources: &compiled.sources,
        model: &compiled.model,
        breakdown: &compiled.breakdown,
        work: &compiled.work,
        plan: &compiled.plan,
        seconds: &[],
        findings: &compiled.findings,
        diagnostics: &compiled.diagnostics,
        aftermaths: &std::collections::BTreeMap::new(),
        draft: false,
        text_hash: &text_hash,
    };
    look(&Index::new(&input));
}

/// Words inside the picture and clear of each other; rectangles inside the picture.
fn is_tidy(canvas: Canvas, name: &str) {
    let frame = canvas.frame();
    let written = canvas.written().to_vec();
    for (at, one) in written.iter().enumerate() {
        assert!(frame.holds(&one.area), "{name}: '{}' sticks out: {:?} of {frame:?}", one.text, one.area);
        for two in &written[at + 1..] {
            assert!(!one.area.meets(&two.area), "{name}: '{}' over '{}'", one.text, two.text);
        }
    }
    let svg = canvas.finish().0;
    let body = svg.split_once("</defs>").map_or(svg.as_str(), |(_, body)| body);
    for rect in body.split("<rect ").skip(1) {
        let of = |key: &str| -> f64 {
            let from = rect.split_once(&format!(" {key}=\"")).unwrap().1;
            from.split('"').next().unwrap().parse().unwrap()
        };
        let area = Area::new(of("x"), of("y"), of("width"), of("height"));
        assert!(frame.holds(&area), "{name}: {area:?} sticks out of {frame:?}");
    }
}

fn desks(compiled: &Compiled, look: impl Fn(&DeskChart)) {
    with_index(compiled, |index| look(&desk::gather(index).expect("every example has a desk")));
}

#[test]
fn a_desk_chart_holds_every_planned_pass_once_within_its_day() {
    for compiled in examples() {
        let plan = &compiled.plan.desk;
        desks(&compiled, |chart| {
            let bars: Vec<_> = chart.lanes.iter().flat_map(|lane| &lane.bars).collect();
            assert_eq!(bars.len(), plan.work.len());
            let mut numbers: Vec<usize> = bars.iter().map(|bar| bar.number).collect();
            numbers.sort_unstable();
            assert_eq!(numbers, (1..=bars.len()).collect::<Vec<_>>());
            for bar in &bars {
                assert!(bar.from < bar.to && bar.to <= bar.until + 1e-9, "{bar:?}");
                assert!(bar.to <= chart.days as f64, "{bar:?}");
                assert_eq!(bar.slip == desk::Slip::None, plan.critical.contains(&bar.pass));
            }
            for lane in &chart.lanes {
                for pair in lane.bars.windows(2) {
                    assert!(pair[0].to <= pair[1].from + 1e-9, "one thing at a time: {pair:?}");
                }
            }
        });
    }
}

#[test]
fn the_words_of_a_desk_chart_are_clear_of_each_other() {
    for compiled in examples() {
        desks(&compiled, |chart| {
            for layout in [desk::Layout::WIDE, desk::Layout::NARROW] {
                is_tidy(desk::draw(chart, &layout), &compiled.model.sequence.named.path);
            }
        });
    }
}

#[test]
fn a_day_chart_holds_every_shot_of_the_plan_at_its_time() {
    for compiled in examples() {
        with_index(&compiled, |index| {
            for (at, day) in index.days().iter().enumerate() {
                let chart = day::gather(index, at, day);
                let planned = day.steps.iter().filter(|step| matches!(step.kind, StepKind::Shoot(_)));
                let drawn: Vec<_> =
                    chart.stretches.iter().filter(|one| one.doing == Doing::Shooting).collect();
                let starts: Vec<i64> = planned.map(|step| step.start.0).collect();
                assert_eq!(drawn.iter().map(|one| one.from).collect::<Vec<_>>(), starts);
                let numbers: Vec<String> = (1..=drawn.len()).map(|number| number.to_string()).collect();
                assert_eq!(drawn.iter().map(|one| one.words.clone()).collect::<Vec<_>>(), numbers);
                // The unit is somewhere at every minute from call to wrap.
                let mut until = day.call.0;
                for one in chart.stretches.iter().filter(|one| !one.beside) {
                    assert_eq!(one.from, until, "{one:?}");
                    until = one.to;
                }
                assert_eq!(until, day.wrap.0);
            }
        });
    }
}

/// The curve crosses the height of sunrise and sunset (−50′: U.S. Naval Observatory) within a
/// minute of the times that the sheet prints, and stands as high as `craft::sun` says.
#[test]
fn the_curve_of_the_sun_agrees_with_the_printed_times() {
    let mut crossings = 0;
    for compiled in examples() {
        with_index(&compiled, |index| {
            for (at, planned) in index.days().iter().enumerate() {
                let chart = day::gather(index, at, planned);
                let (Some(sky), Some(known)) = (&chart.sky, planned.sun) else { continue };
                let place = planned.base.unwrap_or(planned.steps[0].place);
                let position = index.model.places[place].at.unwrap().value;
                for (minute, height) in &sky.heights {
                    let told = sun::position(position, Minute(*minute)).elevation.0;
                    assert!((told - height).abs() < 1e-9);
                }
                for pair in sky.heights.windows(2) {
                    let [(from, one), (to, two)] = [pair[0], pair[1]];
                    if (one < day::HORIZON) != (two < day::HORIZON) {
                        let share = (day::HORIZON - one) / (two - one);
                        let crosses = from as f64 + share * (to - from) as f64;
                        let printed = if two > one { known.sunrise } else { known.sunset };
                        assert!((crosses - printed.unwrap().0 as f64).abs() <= 1.0, "{crosses}");
                        assert!(sky.events.iter().any(|(minute, _)| *minute == printed.unwrap().0));
                        crossings += 1;
                    }
                }
            }
        });
    }
    assert!(crossings > 0, "some day of some example begins or ends with the sun");
}

#[test]
fn the_words_of_a_day_chart_are_clear_of_each_other() {
    for compiled in examples() {
        with_index(&compiled, |index| {
            for (at, planned) in index.days().iter().enumerate() {
                let chart = day::gather(index, at, planned);
                for layout in [day::Layout::WIDE, day::Layout::NARROW] {
                    is_tidy(day::draw(&chart, &layout), &chart.file);
                }
            }
        });
    }
}

#[test]
fn a_ribbon_holds_every_plate_once_in_the_story_and_once_where_it_is_shot() {
    for compiled in examples() {
        with_index(&compiled, |index| {
            let ribbon = ribbon::gather(index).expect("every example has pieces");
            let plates = &compiled.breakdown.plates;
            let seen: Vec<_> = ribbon.beats.iter().flat_map(|beat| &beat.pieces).collect();
            let besides = ribbon.beats.iter().flat_map(|beat| &beat.besides);
            let pictures = plates.values().filter(|plate| plate.kind == PlateKind::Picture).count();
            assert_eq!(seen.len(), pictures);
            let mut story: Vec<usize> = seen.into_iter().chain(besides).map(|piece| piece.number).collect();
            let mut shot: Vec<usize> =
                ribbon.strands.iter().flat_map(|strand| &strand.beads).map(|bead| bead.number).collect();
            story.sort_unstable();
            shot.sort_unstable();
            assert_eq!(story, (1..=plates.len()).collect::<Vec<_>>());
            assert_eq!(shot, story);
            assert_eq!(ribbon.joins.len(), compiled.model.joins.len());
            for canvas in ribbon::drawings(&ribbon) {
                is_tidy(canvas, &compiled.model.sequence.named.path);
            }
        });
    }
}
