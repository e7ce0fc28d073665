//! Plates that roll together: what may be said, what is taken over, what is planned.

use seamster::Compiled;
use seamster::order::StepKind;

mod project;

/// A small sequence whose second plate says these lines besides.
fn with(lines: &str) -> Compiled {
    project::text(
        "roll.seam",
        &format!(
            "sequence small {{ picture 1920x1080 at 25 fps; zone \"Europe/Lisbon\"; mains 50 Hz }}
place room \"A room\" {{ light lamp }}
place hall \"A hall\" {{ light lamp }}
travel room to hall 5 min
prop jar \"Jar\" {{ states whole, broken; spares 5 }}
camera thumb \"Thumb camera\" {{
  count 2; battery 30 min; recharge 35 min; card 32 GB
  mode wide {{ frame 2560x1440 at 50 fps; shutter 1/100 s; view 100 deg equidistant; stream 80 Mb/s }}
}}
rig slide \"Slider\" {{ fitting 10 min; carries 1 kg }}
rig stand \"Tripod\" {{ fixed yes; fitting 5 min; carries 2 kg }}
beat one \"The cup\" {{
  runs 5 s
  plate cup \"Past the cup\" {{ place room; rig slide; camera thumb.wide; lasts 12 s; takes 4; between 3 min; moves 0.2 m/s }}
  plate side \"From the side\" {{ place room; rig stand; camera thumb.wide; {lines} }}
  plate hall \"In the hall\" {{ place hall; rig stand; camera thumb.wide; lasts 12 s; uses 0 s }}
}}
desk ada \"Ada\" {{ does ingest, edit, comp, grade, sound, delivery; hours 6 h per day }}
days from 2027-05-14, at most 1 {{ call 09:00; wrap 17:00; base room }}
finish by 2027-07-30
"
        ),
    )
}

fn errors(compiled: &Compiled) -> Vec<String> {
    let loud =
        compiled.diagnostics.iter().filter(|one| one.severity == seamster::diagnostic::Severity::Error);
    loud.map(|one| format!("{}: {} [{}]", one.code.id, one.message, one.label)).collect()
}

#[test]
fn what_is_not_said_is_as_in_the_plate_that_it_rolls_with() {
    let compiled = with("lasts 10 s; rolls_with cup");
    assert_eq!(errors(&compiled), Vec::<String>::new());
    let plates: Vec<_> = compiled.breakdown.plates.iter().collect();
    let [(host, cup), (companion, side), ..] = plates.as_slice() else { panic!("two plates were written") };
    assert_eq!((side.takes, side.between), (cup.takes, cup.between));
    assert_eq!((cup.in_picture.0, side.in_picture.0), (5.0, 0.0));
    let shot = &compiled.plan.shoot.shot;
    assert_eq!(shot.get(host), shot.get(companion));
    let steps = compiled.plan.shoot.days.iter().flat_map(|day| &day.steps);
    let started = steps.filter(|step| step.kind == StepKind::Shoot(*companion)).count();
    assert_eq!(started, 1);
}

#[test]
fn a_line_that_cannot_hold_is_told() {
    for (lines, expected) in [
        ("lasts 10 s; rolls_with side", "T06: 'one.side' rolls with itself"),
        ("lasts 10 s; rolls_with hall", "T06: 'one.hall' is shot at hall, this plate elsewhere"),
        ("lasts 10 s; rolls_with nowhere", "T05: no plate is called 'nowhere'"),
        (
            "lasts 30 s; rolls_with cup",
            "T08: a take of 'one.cup' ends before one of this plate [at most 12 s]",
        ),
        ("lasts 9 s; takes 9; rolls_with cup", "T08: 'one.cup' has fewer takes than this plate"),
        (
            "lasts 9 s; turns jar whole to broken; rolls_with cup",
            "T06: what changes is said once, in the plate that others roll with",
        ),
        (
            "lasts 9 s; rolls_with cup }\n  plate third { place room; rig stand; camera thumb.wide; lasts 5 s; rolls_with side",
            "T06: 'one.side' rolls with another plate itself",
        ),
    ] {
        let found = errors(&with(lines));
        assert!(found.iter().any(|one| one.starts_with(expected)), "{lines}: {found:?}");
    }
}

/// The writer's own words stand where they are said.
#[test]
fn a_second_angle_is_seen_where_it_says_so() {
    let compiled = with("lasts 10 s; takes 2; uses 2 s; rolls_with cup");
    assert_eq!(errors(&compiled), Vec::<String>::new());
    let seen: Vec<f64> = compiled.breakdown.plates.values().map(|plate| plate.in_picture.0).collect();
    assert_eq!(seen, [3.0, 2.0, 0.0]);
}
