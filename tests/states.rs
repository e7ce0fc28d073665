//! States order the shoot: what cannot go back comes last, what can costs its reset.

use seamster::Compiled;
use seamster::model::PlateId;
use seamster::order::StepKind;

mod project;

/// A clay jar that breaks in one plate and is whole in another.
fn jar(prop: &str, first: &str, second: &str) -> Compiled {
    project::text(
        "jar.seam",
        &format!(
            "sequence small {{ picture 1920x1080 at 25 fps; zone \"Europe/Lisbon\"; mains 50 Hz }}
place yard \"A yard\" {{ light sky; at 38.7103, -9.1602 }}
prop jar \"Clay jar\" {{ states whole, broken{prop} }}
camera thumb \"Thumb camera\" {{
  battery 60 min; recharge 35 min; card 64 GB
  mode wide {{ frame 2560x1440 at 50 fps; shutter 1/100 s; view 100 deg equidistant; stream 80 Mb/s }}
}}
rig stand \"Tripod\" {{ fixed yes; fitting 5 min; carries 2 kg }}
beat one \"The jar\" {{
  runs 5 s
  plate shelf \"The jar on its shelf\" {{ place yard; rig stand; camera thumb.wide; lasts 10 s; takes 1; shows jar whole; {first} }}
}}
beat two \"The fall\" {{
  runs 5 s
  plate fall \"The jar falls\" {{ place yard; rig stand; camera thumb.wide; lasts 10 s; turns jar whole to broken; {second} }}
}}
sound {{ layer ambience, impacts; cue \"it breaks\" at two }}
desk ada \"Ada\" {{ does ingest, edit, comp, grade, sound, delivery; hours 6 h per day }}
days from 2027-05-14, at most 1 {{ call 08:00; wrap 18:00; base yard }}
finish by 2027-07-30
"
        ),
    )
}

/// Light that puts the fall first.
const LATE: &str = "light sunset - 5 h .. sunset - 4 h";
const EARLY: &str = "takes 1; light sunrise + 3 h .. sunrise + 4 h";

fn plate(compiled: &Compiled, path: &str) -> PlateId {
    let found = compiled.breakdown.plates.iter().find(|(_, plate)| plate.named.path == path);
    found.map(|(id, _)| id).expect("it is there")
}

fn codes(compiled: &Compiled) -> Vec<&str> {
    compiled.diagnostics.iter().map(|one| one.code.id).collect()
}

/// Minutes of the reset steps of the plan.
fn resets(compiled: &Compiled) -> Vec<i64> {
    let steps = compiled.plan.shoot.days.iter().flat_map(|day| &day.steps);
    let resets = steps.filter(|step| matches!(step.kind, StepKind::Reset { .. }));
    resets.map(|step| step.end.0 - step.start.0).collect()
}

fn price(compiled: &Compiled, what: &str) -> i64 {
    compiled.plan.shoot.price.iter().find(|paid| paid.what == what).map_or(0, |paid| paid.amount)
}

#[test]
fn what_cannot_go_back_is_shot_last() {
    // Even where the dangerous plate is named as the one to shoot first by its place in the text.
    let compiled = jar("", "light sky", "takes 1");
    assert_eq!(codes(&compiled), Vec::<&str>::new());
    let shot = &compiled.plan.shoot.shot;
    assert!(shot[&plate(&compiled, "one.shelf")].1 < shot[&plate(&compiled, "two.fall")].1);
    assert_eq!(resets(&compiled), Vec::<i64>::new());
}

#[test]
fn an_order_against_what_cannot_go_back_is_named() {
    let compiled = jar("", LATE, EARLY);
    assert!(codes(&compiled).contains(&"D07"), "{:?}", compiled.diagnostics);
    let told: Vec<&str> = compiled
        .plan
        .shoot
        .unplanned
        .iter()
        .flat_map(|left| left.reasons.iter().map(|reason| reason.0.as_str()))
        .collect();
    assert!(!told.is_empty());
}

#[test]
fn an_order_against_a_state_costs_its_reset() {
    let compiled = jar("; reset broken to whole 40 min", LATE, EARLY);
    assert_eq!(codes(&compiled), Vec::<&str>::new());
    assert_eq!(resets(&compiled), [40]);
    assert_eq!(price(&compiled, "resets"), 40);
    let shot = &compiled.plan.shoot.shot;
    assert!(shot[&plate(&compiled, "two.fall")].1 < shot[&plate(&compiled, "one.shelf")].1);
}

#[test]
fn without_need_no_reset_is_paid() {
    let compiled = jar("; reset broken to whole 40 min", "light sky", "takes 1");
    assert_eq!(resets(&compiled), Vec::<i64>::new());
    assert_eq!(price(&compiled, "resets"), 0);
}

#[test]
fn a_spare_stands_in_for_a_reset() {
    let compiled = jar("; spares 1", LATE, EARLY);
    assert_eq!(codes(&compiled), Vec::<&str>::new());
    assert_eq!(resets(&compiled), Vec::<i64>::new());
}

/// Three takes of ten seconds with twice twenty minutes between them are 41 min.
#[test]
fn resets_between_takes_are_in_the_plan() {
    let compiled = jar("; reset broken to whole 20 min", "light sky", "takes 3");
    assert_eq!(codes(&compiled), Vec::<&str>::new());
    let (_, start, end) = compiled.plan.shoot.shot[&plate(&compiled, "two.fall")];
    assert_eq!(end.0 - start.0, 41);
    // Three jars need no reset; two minutes between takes as usual.
    let compiled = jar("; spares 5; reset broken to whole 20 min", "light sky", "takes 3");
    let (_, start, end) = compiled.plan.shoot.shot[&plate(&compiled, "two.fall")];
    assert_eq!(end.0 - start.0, 5);
}

#[test]
fn a_reset_longer_than_what_lies_between_takes_is_found() {
    let compiled = jar("; reset broken to whole 20 min", "light sky", "takes 3; between 5 min");
    assert_eq!(codes(&compiled), ["S02"]);
    let help = compiled.diagnostics[0].help.clone().unwrap_or_default();
    assert!(help.contains("'between 20 min'") && help.contains("'spares 2'"), "{help}");
    let mended = jar("; reset broken to whole 20 min", "light sky", "takes 3; between 20 min");
    assert_eq!(codes(&mended), Vec::<&str>::new());
}

/// Wet in the morning and dry in the evening costs the drying; wet in the evening
/// and dry on the next morning costs nothing, since it dries overnight.
#[test]
fn a_coat_dries_overnight_for_nothing() {
    let morning = "light sunrise + 1 h .. sunrise + 2 h";
    let evening = "light sunset - 2 h .. sunset - 1 h";
    let text = |dry: &str, wet: &str| {
        format!(
            "sequence small {{ picture 1920x1080 at 25 fps; zone \"Europe/Lisbon\"; mains 50 Hz }}
place yard \"A yard\" {{ light sky; at 38.7103, -9.1602 }}
look coat \"Coat\" {{ states dry, wet; reset wet to dry 45 min }}
person mei \"Mei\" {{ plays courier }}
camera thumb \"Thumb camera\" {{
  battery 60 min; recharge 35 min; card 64 GB
  mode wide {{ frame 2560x1440 at 50 fps; shutter 1/100 s; view 100 deg equidistant; stream 80 Mb/s }}
}}
rig stand \"Tripod\" {{ fixed yes; fitting 5 min; carries 2 kg }}
beat one \"Dry\" {{
  runs 5 s
  plate dry \"Dry\" {{ place yard; rig stand; camera thumb.wide; person mei; lasts 10 s; wears mei coat dry; after wet; {dry} }}
}}
beat two \"Wet\" {{
  runs 5 s
  plate wet \"Wet\" {{ place yard; rig stand; camera thumb.wide; person mei; lasts 10 s; takes 1; turns coat dry to wet; {wet} }}
}}
desk ada \"Ada\" {{ does ingest, edit, comp, grade, sound, delivery; hours 6 h per day }}
days from 2027-05-14, at most 2 {{ call 07:00; wrap 20:30; base yard }}
finish by 2027-07-30
"
        )
    };
    let one_day = project::text("coat.seam", &text(evening, morning));
    assert_eq!((one_day.plan.shoot.days.len(), resets(&one_day)), (1, vec![45]), "{:?}", one_day.diagnostics);
    let two_days = project::text("coat.seam", &text(morning, evening));
    assert_eq!(
        (two_days.plan.shoot.days.len(), resets(&two_days)),
        (2, vec![]),
        "{:?}",
        two_days.diagnostics
    );
}
