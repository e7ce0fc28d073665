//! What a sequence says about what the plan pays for what, and what comes of it.

mod project;

/// A room that is open in the morning and in the evening, and one plate for each.
fn film(weights: &str, days: &str) -> String {
    format!(
        r#"sequence small "Small" {{
  picture 1920x1080 at 25 fps
  zone "Europe/Lisbon"
  mains 50 Hz
  {weights}
}}
place hall "A hall" {{ light lamp; open 08:00..09:00 }}
place loft "A loft" {{ light lamp; open 16:00..17:00 }}
travel hall to loft 20 min
camera thumb "Thumb camera" {{
  battery 60 min; recharge 35 min; card 32 GB
  mode wide {{
    frame 2560x1440 at 25 fps; shutter 1/50 s
    view 100 deg equidistant; stream 80 Mb/s; steady off
  }}
}}
rig stand "Tripod" {{ fixed yes; fitting 5 min; placing 0.5 cm, 0.3 deg; carries 2 kg; hands 2 }}
person mei "Mei" {{ plays courier; eyes 1.55 m }}
beat one "The cup" {{
  runs 10 s
  plate early "A cup at the window" {{ place hall; rig stand; camera thumb.wide; person mei; lasts 8 s }}
  plate late "A cup on the floor" {{ place loft; rig stand; camera thumb.wide; person mei; lasts 8 s }}
}}
desk ada "Ada" {{ does ingest, edit, comp, grade, sound, delivery; hours 6 h per day }}
days from 2027-05-14, at most 2 {{ call 07:00; wrap 18:00; base hall; {days} }}
finish by 2027-07-30
"#
    )
}

fn planned(weights: &str, days: &str) -> seamster::Compiled {
    let compiled = project::text("small.seam", &film(weights, days));
    assert_eq!(compiled.plan.shoot.shot.len(), 2, "{:#?}", compiled.diagnostics);
    compiled
}

#[test]
fn a_day_is_saved_at_any_price_unless_its_own_is_written() {
    assert_eq!(planned("", "").plan.shoot.days.len(), 1);
    // Everybody waits for seven hours between the two: 80% of that is more than five hours.
    assert_eq!(planned("weights { extra_day 5 h }", "").plan.shoot.days.len(), 2);
    assert_eq!(planned("weights { extra_day 20 h }", "").plan.shoot.days.len(), 1);
}

#[test]
fn weights_are_read_as_hundredths_of_a_minute_on_the_way() {
    let text = "weights { travel 90%; people 40%; person mei 120%; overtime 150%; story_order 5 min; join_apart 8 h }";
    let compiled = planned(text, "overtime_after 8 h");
    let weights = &compiled.model.sequence.weights;
    let mei = compiled.model.people.ids().next().unwrap();
    assert_eq!((weights.travel, weights.people, weights.overtime), (90, 40, 150));
    assert_eq!((weights.of(mei), weights.story_order, weights.join_apart), (120, 500, 480));
    assert_eq!(weights.fitting, 100, "what is not said stays as it is");
    assert_eq!(compiled.model.days.unwrap().each[0].long.0, 8.0 * 3600.0);
}

#[test]
fn overtime_is_paid_for_and_told() {
    let overtime = |days: &str| {
        let plan = planned("", days).plan;
        let paid = plan.shoot.price.iter().find(|one| one.what == "overtime").copied().unwrap();
        (paid.amount, plan.shoot.days[0].wrap.0 - plan.shoot.days[0].call.0)
    };
    let (none, length) = overtime("overtime_after 24 h");
    assert_eq!(none, 0);
    assert_eq!(overtime("overtime_after 4 h"), (length - 240, length));
}

#[test]
fn the_packet_says_what_was_paid_and_the_terms_add_up() {
    let compiled = planned("", "");
    let sum: i64 = compiled.plan.shoot.price.iter().map(|one| one.cost).sum();
    let day = compiled.model.sequence.weights.extra_day;
    assert_eq!(compiled.plan.shoot.cost, sum + day, "one day, and nothing is left out");
    let documents = compiled.documents(false, &[]).unwrap();
    for path in ["index.md", "call-sheet-1.md"] {
        let document = documents.iter().find(|one| one.path == path).unwrap();
        let text = String::from_utf8(document.bytes.clone()).unwrap();
        assert!(text.contains("| everybody waiting for light, access or people |"), "{text}");
        assert!(text.contains("| in all | | **"), "{text}");
    }
}

#[test]
fn a_weight_of_someone_unknown_is_told() {
    let compiled = project::text("small.seam", &film("weights { person mie 50% }", ""));
    let told: Vec<&str> = compiled.diagnostics.iter().map(|one| one.message.as_str()).collect();
    assert!(told.contains(&"no person is called 'mie'"), "{told:?}");
}
