//! From the example sequences' text to their work: recipes and graph together.

use petgraph::algo::toposort;
use seamster::diagnostic::{Diagnostic, Severity};
use seamster::graph::{self, CriticalPath, Work};
use seamster::model::{Model, Origin, lower};
use seamster::recipe::{Breakdown, Library, Owner, expand};
use seamster::schema::{ROOT, check};
use seamster::source::Sources;
use seamster::syntax::parse;
use seamster::{recipe, rule};
use std::collections::BTreeSet;

struct Built {
    model: Model,
    breakdown: Breakdown,
    work: Work,
    diagnostics: Vec<Diagnostic>,
}

fn built(texts: &[(&str, &str)], recipes: &[(&str, &str)]) -> Built {
    let mut sources = Sources::default();
    let mut diagnostics = Vec::new();
    let files: Vec<_> = texts.iter().map(|(name, text)| sources.add(*name, *text)).collect();
    let own: Vec<_> = recipes.iter().map(|(name, text)| sources.add(*name, *text)).collect();
    let mut facts = Vec::new();
    for file in files {
        let tree = parse(&sources, file, &mut diagnostics);
        facts.extend(check(tree.statements(), ROOT, &mut diagnostics));
    }
    let rules: Vec<&str> = rule::all().iter().map(|rule| rule.code.name).collect();
    let model = lower(&facts, &rules, &mut diagnostics);
    let (library, found) = Library::with_project(&sources, &own);
    diagnostics.extend(found);
    let breakdown = expand(&model, &library, &mut diagnostics);
    let work = graph::build(&model, &breakdown, &mut diagnostics);
    Built { model, breakdown, work, diagnostics }
}

fn examples() -> Vec<(&'static str, Built)> {
    vec![
        (
            "night-parcel",
            built(
                &[
                    ("kit.seam", include_str!("../examples/night-parcel/kit.seam")),
                    ("people.seam", include_str!("../examples/night-parcel/people.seam")),
                    ("night-parcel.seam", include_str!("../examples/night-parcel/night-parcel.seam")),
                ],
                &[],
            ),
        ),
        (
            "one-look",
            built(
                &[
                    ("kit.seam", include_str!("../examples/one-look/kit.seam")),
                    ("one-look.seam", include_str!("../examples/one-look/one-look.seam")),
                ],
                &[],
            ),
        ),
        (
            "table-top",
            built(
                &[("table-top.seam", include_str!("../examples/table-top/table-top.seam"))],
                &[("recipes/steam_over.yaml", include_str!("../examples/table-top/recipes/steam_over.yaml"))],
            ),
        ),
    ]
}

#[test]
fn the_examples_break_down_without_an_error() {
    for (name, built) in examples() {
        // What the text itself says wrong is the reading stages' to test.
        let ours = ["T12", "T17", "T18"];
        let found = built.diagnostics.iter().filter(|one| ours.contains(&one.code.id));
        let errors: Vec<_> = found.filter(|one| one.severity == Severity::Error).collect();
        assert!(errors.is_empty(), "{name}: {errors:#?}");
        assert!(!built.breakdown.passes.is_empty(), "{name}");
        assert_eq!(built.breakdown.methods.len(), built.model.effects.len(), "{name}");
    }
}

#[test]
fn every_path_is_unique_and_every_owed_plate_says_why() {
    for (name, built) in examples() {
        let plates = built.breakdown.plates.values().map(|plate| plate.named.path.as_str());
        let passes = built.breakdown.passes.values().map(|pass| pass.path.as_str());
        let all: Vec<&str> = plates.chain(passes).collect();
        assert_eq!(all.iter().collect::<BTreeSet<_>>().len(), all.len(), "{name}");
        for plate in built.breakdown.plates.iter().skip(built.model.plates.len()).map(|(_, plate)| plate) {
            assert!(matches!(plate.origin, Origin::Owed { .. }), "{name}: {}", plate.named.path);
            assert!(plate.named.title.is_some() && plate.lasts.value.0 > 0.0);
        }
        for (id, plate) in built.breakdown.plates.iter() {
            let brought = built.breakdown.passes.values().any(|pass| pass.owner == Owner::Plate(id));
            assert_eq!(brought, plate.kind.is_footage(), "{name}: {}", plate.named.path);
        }
    }
}

#[test]
fn the_graph_ends_in_delivery_and_its_critical_path_is_work() {
    for (name, built) in examples() {
        assert!(toposort(&built.work, None).is_ok(), "{name}");
        let minutes = |node| match built.work[node] {
            graph::Node::Pass(pass) => (built.breakdown.passes[pass].effort.0 * 60.0).round() as i64,
            _ => 0,
        };
        let path: CriticalPath = graph::critical::critical(&built.work, minutes).unwrap();
        let last =
            path.path.last().map(|&node| graph::name(built.work[node], &built.model, &built.breakdown));
        assert!(matches!(last, Some("delivery" | "delivery.viewing")), "{name}: {last:?}");
        let along: Vec<&str> = path
            .path
            .iter()
            .map(|&node| graph::name(built.work[node], &built.model, &built.breakdown))
            .collect();
        assert!(along.contains(&"picture_lock"), "{name}: {along:?}");
        assert!(!graph::chain(&built.work, graph::Node::Delivery).is_empty());
    }
}

#[test]
fn the_built_in_recipes_are_listed_with_pages() {
    let library = Library::builtin();
    assert!(library.effects().count() >= 14);
    assert!(library.effects().all(|one| recipe::page(one).starts_with(&format!("# {}", one.recipe))));
}
