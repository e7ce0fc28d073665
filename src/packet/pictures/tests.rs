//! What every picture of every example keeps to.

use super::desk::{self, DeskChart};
use super::draw::{Area, Canvas};
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
        findings: &compiled.findings,
        diagnostics: &compiled.diagnostics,
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
