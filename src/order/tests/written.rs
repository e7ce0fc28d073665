//! Real text, all the way to the plans.

use super::fixture::Stage;
use super::verify::wrong;
use crate::diagnostic::Diagnostic;
use crate::model::lower;
use crate::order::{Plan, StepKind};
use crate::recipe::{Library, expand};
use crate::source::Sources;
use crate::{graph, schema, syntax};

fn read(files: &[(&str, &str)], recipes: &[(&str, &str)]) -> (Stage, Vec<Diagnostic>) {
    let mut sources = Sources::default();
    let mut diagnostics = Vec::new();
    let mut facts = Vec::new();
    for (name, text) in files {
        let file = sources.add(*name, *text);
        let tree = syntax::parse(&sources, file, &mut diagnostics);
        facts.extend(schema::check(tree.statements(), schema::ROOT, &mut diagnostics));
    }
    let recipes: Vec<_> = recipes.iter().map(|(name, text)| sources.add(*name, *text)).collect();
    let (library, _) = Library::with_project(&sources, &recipes);
    let rules: Vec<&str> = crate::rule::all().iter().map(|rule| rule.code.name).collect();
    let model = lower(&facts, &rules, &mut diagnostics);
    let breakdown = expand(&model, &library, &mut diagnostics);
    let work = graph::build(&model, &breakdown, &mut diagnostics);
    let mut stage = Stage::new();
    (stage.model, stage.breakdown, stage.work) = (model, breakdown, work);
    (stage, diagnostics)
}

pub(super) fn night_parcel() -> (Stage, Vec<Diagnostic>) {
    read(
        &[
            ("kit.seam", include_str!("../../../examples/night-parcel/kit.seam")),
            ("people.seam", include_str!("../../../examples/night-parcel/people.seam")),
            ("night-parcel.seam", include_str!("../../../examples/night-parcel/night-parcel.seam")),
        ],
        &[],
    )
}

fn told(stage: &Stage, plan: &Plan) -> String {
    let zone = jiff::tz::TimeZone::get(&stage.model.sequence.zone).unwrap();
    let mut text = String::new();
    for day in &plan.shoot.days {
        text += &format!("{} call {} wrap {}\n", day.date, day.call.clock(&zone), day.wrap.clock(&zone));
        for step in &day.steps {
            let what = match &step.kind {
                StepKind::Shoot(plate) => format!("shoot {}", stage.breakdown.plates[*plate].named.path),
                StepKind::Fit(setup) => {
                    format!("fit {}", stage.model.rigs[plan.shoot.setups[*setup].rig].named.path)
                }
                other => format!("{other:?}"),
            };
            let because = step.because.join(" | ");
            text += &format!("  {} {} [{because}]\n", step.start.clock(&zone), what);
        }
        for call in &day.people {
            let name = stage.model.people[call.person].named.path.as_str();
            text += &format!("  {name} {} to {}\n", call.call.clock(&zone), call.release.clock(&zone));
        }
    }
    for left in &plan.shoot.unplanned {
        text += &format!("left {}: {:?}\n", stage.breakdown.plates[left.what].named.path, left.reasons);
    }
    text
}

#[test]
fn the_example_is_planned_whole_and_breaks_nothing() {
    // Whether the text itself is whole is tested where it is read.
    let (stage, _) = night_parcel();
    let plan = stage.plan();
    assert_eq!(wrong(&stage, &plan), Vec::<String>::new(), "{}", told(&stage, &plan));
    assert!(plan.shoot.unplanned.is_empty(), "{}", told(&stage, &plan));
    assert!(plan.desk.unplanned.is_empty(), "{:?}", plan.desk.unplanned);
}

#[test]
fn a_film_by_one_person_and_one_unbroken_run_are_planned_too() {
    let alone = read(
        &[("table-top.seam", include_str!("../../../examples/table-top/table-top.seam"))],
        &[("steam_over.yaml", include_str!("../../../examples/table-top/recipes/steam_over.yaml"))],
    );
    let run = read(
        &[
            ("kit.seam", include_str!("../../../examples/one-look/kit.seam")),
            ("one-look.seam", include_str!("../../../examples/one-look/one-look.seam")),
        ],
        &[],
    );
    for (stage, _) in [alone, run] {
        let plan = stage.plan();
        assert_eq!(wrong(&stage, &plan), Vec::<String>::new(), "{}", told(&stage, &plan));
        assert!(plan.shoot.unplanned.is_empty(), "{}", told(&stage, &plan));
    }
}
