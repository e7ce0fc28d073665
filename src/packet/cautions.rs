//! The usual cautions for what can hurt someone.
//!
//! In: the word of a hazard. Out: general-practice sentences, each with its
//! source where it has one; the others are common practice without a source.
//! None of it is legal advice, and no list is complete: [`DEFERENCE`] goes with
//! every use.

use crate::rule::PRACTICE;

/// Goes with every caution, always.
pub const DEFERENCE: &str = "These are usual cautions, not rules: local rules and licensed practice decide, \
    and whoever runs the day stops the work when in doubt.";

/// What is usually said about one kind of hazard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Usual {
    /// The word as written in a sequence.
    pub word: &'static str,
    /// What people call it.
    pub title: &'static str,
    /// Sentences, most important first.
    pub says: &'static [&'static str],
    /// Where it comes from.
    pub source: &'static str,
}

/// The usual cautions for a hazard, by its word or a near one. A word that is not in the list gets the
/// sentences for any hazard, under its own name.
pub fn usual(word: &str) -> Usual {
    let word = match word {
        "batteries" => "battery",
        "animal" => "animals",
        "people" | "public" => "crowd",
        "drone" | "drones" => "aircraft",
        "falling" | "jump" | "pull" | "pulled" | "stunt" => "fall",
        "cliff" | "ladder" | "roof" => "height",
        "bike" | "car" | "cars" | "road" | "vehicle" => "traffic",
        "boat" | "canal" | "current" | "deep_water" | "ice" | "lake" | "river" | "sea" | "spray" | "surf"
        | "under_water" => "water",
        "dark" => "night",
        "train" | "trains" | "tram" => "rail",
        _ => word,
    };
    USUAL.iter().copied().find(|usual| usual.word == word).unwrap_or(OTHER)
}

const OTHER: Usual = Usual {
    word: "",
    title: "Named hazard",
    says: &[
        "Before the first take, say aloud what can go wrong here, who watches for it, and the word that stops everything.",
        "Whoever watches does nothing else.",
    ],
    source: PRACTICE,
};

/// Every hazard that has sentences of its own, by word.
pub const USUAL: &[Usual] = &[
    Usual {
        word: "aircraft",
        title: "Aircraft and drones",
        says: &[
            "Nobody stands, walks or sits under the aircraft; agree where it goes if the link or a motor fails.",
            "The pilot only flies; a second person watches the aircraft and the sky, and speaks up.",
            "Check the rule where you are: in the EU the open category keeps within 120 m of the nearest point of the surface, in sight, and apart from people who are not involved; in the USA small aircraft keep below 400 ft, in sight of the naked eye.",
            "In the dark and at dusk the aircraft carries lights that can be seen from afar, where flying then is allowed at all.",
            "Check registration, insurance, airspace and the land owner's consent before the day; check wind, propellers and packs before each flight.",
            "Land with a reserve; do not use the last minutes of a pack for one more take.",
        ],
        source: "Regulation (EU) 2019/947 of 24 May 2019, UAS.OPEN.010 (120 m); 14 CFR Part 107 of 2016, 107.51 (400 ft), 107.31 (in sight), 107.29 (lights); both change, and elsewhere other limits hold",
    },
    Usual {
        word: "animals",
        title: "Animals",
        says: &[
            "The handler decides what the animal does and when it rests.",
            "Keep rigs, noise and lights away until the handler has let the animal see them.",
        ],
        source: PRACTICE,
    },
    Usual {
        word: "battery",
        title: "Batteries",
        says: &[
            "Do not charge, fly or carry a pack that is swollen, dented, wet or hot; put it outside, away from anything that burns.",
            "Charge on something that does not burn, with someone in the room; let packs cool before charging and warm up before use.",
            "Cover the contacts of loose packs; in cold, keep them in an inner pocket: they give less and drop without warning.",
            "By air, check the airline first: spares go in the cabin, never in the hold; up to 100 Wh usually without asking and no more than 20 of them, over 100 and up to 160 Wh two with the airline's consent, larger ones not at all. Watt-hours are volts times ampere-hours.",
        ],
        source: "charging from 0 to 45 °C: Battery University BU-410; air travel: IATA's leaflet for passengers of 2018 (100 and 160 Wh), which changes from year to year",
    },
    Usual {
        word: "cold",
        title: "Cold",
        says: &[
            "Plan warming between takes; wet clothes come off at once; hot drinks and a dry set of clothes stay at the set-up.",
            "Watch each other for shivering that stops, slurred words and clumsiness: that is an emergency.",
            "Cold fingers drop things: tether cameras and tools over people, water and edges.",
        ],
        source: PRACTICE,
    },
    Usual {
        word: "crowd",
        title: "Other people nearby",
        says: &[
            "Keep a person at each way in who only turns people back; stop when someone walks in.",
            "Leave pavements and exits passable; ask for the owner's or the town's consent before the day.",
        ],
        source: PRACTICE,
    },
    Usual {
        word: "edge",
        title: "Unguarded edge",
        says: &[
            "Mark a line well back from the edge; nobody crosses it looking through a screen or walking backwards.",
            "Whoever wears a camera or cannot see their feet has a spotter at arm's length who watches only them.",
            "When there is a way to shoot it away from the edge, shoot it there and put the edge in at the desk.",
        ],
        source: PRACTICE,
    },
    Usual {
        word: "electricity",
        title: "Electricity",
        says: &[
            "Outdoors and near water use protected outlets (residual current device) and cables made for outdoors.",
            "Keep poles, cables and cranes away from overhead lines; a distance to a line is the operator's to give.",
        ],
        source: PRACTICE,
    },
    Usual {
        word: "fall",
        title: "Jumps, falls and pulled bodies",
        says: &[
            "Rehearse slowly, padded, from the lowest height that tells the story; raise only when it is dull.",
            "Check the landing for hard, sharp and slippery things before each take; only the performer counts in.",
            "Anything beyond an ordinary jump on flat ground belongs to a stunt coordinator.",
        ],
        source: PRACTICE,
    },
    Usual {
        word: "fatigue",
        title: "Long hours",
        says: &[
            "Tired people fall and crash: put what is dangerous early in the day, and nobody drives home drowsy.",
            "Check the rest between wrap and next call: 11 hours in 24 is the daily rest of EU working-time law; some crews' contracts say 10.",
            "Eat within six hours of the call: a break is due when work lasts longer than that, 20 minutes of it at the least in the UK.",
        ],
        source: "Directive 2003/88/EC of 4 November 2003, Art. 3 (11 h) and 4 (6 h); UK Working Time Regulations 1998, reg. 12 (20 min)",
    },
    Usual {
        word: "fire",
        title: "Fire",
        says: &[
            "Open flame needs consent, a person who only watches it, and the right extinguisher within reach and checked.",
            "Pyrotechnics are for licensed people only.",
        ],
        source: PRACTICE,
    },
    Usual {
        word: "glass",
        title: "Glass and breaking things",
        says: &[
            "Use breakaway material; eye protection for everyone near; sweep between takes before anyone kneels or goes barefoot.",
        ],
        source: PRACTICE,
    },
    Usual {
        word: "heat",
        title: "Heat",
        says: &[
            "Shade, water and salt at the set-up; rest in the shade between takes; watch for dizziness and confusion.",
            "Cameras stop when hot: keep them in the shade, off, between takes.",
        ],
        source: PRACTICE,
    },
    Usual {
        word: "height",
        title: "Work at height",
        says: &[
            "First avoid it, then prevent the fall, then lessen what a fall does.",
            "Nobody works above others; everything carried up is tethered.",
            "Ropes, harnesses and platforms are set and checked by someone trained for them.",
        ],
        source: "order of measures: UK Work at Height Regulations 2005, which know no least height; HSE INDG401 (rev. 2) of January 2014",
    },
    Usual {
        word: "night",
        title: "Dark",
        says: &[
            "Walk the ground in daylight first; light the ways, the edges and the steps; a lamp for everyone.",
            "Count people at every move; nobody goes off alone.",
        ],
        source: PRACTICE,
    },
    Usual {
        word: "overhead",
        title: "Rig or load overhead",
        says: &[
            "Nobody passes or waits under the line, the rig or the load; keep the ground under it roped off.",
            "Every camera and clamp has a second fastening; check anchors, line and tether before each run.",
            "Test the run with a dummy weight before a camera or a person goes with it.",
        ],
        source: PRACTICE,
    },
    Usual {
        word: "rail",
        title: "Railway",
        says: &[
            "Nobody goes on or beside a track without the railway's consent and its own person on site.",
            "Never assume that a track is not in use or which way a train comes; electric lines kill without contact.",
            "On platforms stay behind the line, no flash, no tripod legs past it, nothing that looks like a signal or a high-visibility vest.",
            "Poles, booms and everything on them stay at least 3 m from overhead electric equipment; where a railway asks for more, that holds.",
        ],
        source: "Network Rail, guidance for filming at stations and conditions of filming, as published before 2026 (line, flash, tripods, 3 m); other railways have their own",
    },
    Usual {
        word: "smoke",
        title: "Smoke and dust",
        says: &["Tell fire alarms' owners; air the room between takes; people with asthma stay out."],
        source: PRACTICE,
    },
    Usual {
        word: "traffic",
        title: "Traffic",
        says: &[
            "Nobody shoots on a road that is open to traffic; a closed road is closed by those who may close it.",
            "Whoever watches traffic does only that, at each end, with a signal that everyone knows.",
            "A person who wears a camera, walks backwards or looks at a screen is blind: a spotter leads them.",
            "Nothing is attached to a moving vehicle, and nobody leans out of one, without people licensed for it.",
            "A car at 30 mph (48 km/h) takes 23 m to stop once its driver has seen you, at 40 mph 36 m, and more in the wet.",
        ],
        source: "UK Highway Code, typical stopping distances",
    },
    Usual {
        word: "water",
        title: "Water",
        says: &[
            "Nobody is alone in, on or beside moving water; a named rescuer with a throw line stands downstream and does nothing else.",
            "Check depth, bottom, current, tide, quality and the way out before the day, and again before the first take.",
            "Water below 15 °C takes the breath away for a minute or more: float first, then swim; buoyancy aid on.",
            "Worn rigs must come off with one hand; nothing ties a person to a rig.",
            "A camera's rating is not a person's: IPX4 bears splashes, IPX7 a metre for half an hour, IPX8 what its maker says; falls and jets are more.",
        ],
        source: "RNLI 2018, cold water shock (below 15 °C; float to live); industry safety bulletin 17, water hazards (notice on the call sheet, rescue downstream); IEC 60529 as makers' sheets give it",
    },
    Usual {
        word: "weapon",
        title: "Weapons and replicas",
        says: &[
            "Only dummies that cannot fire; one person keeps them; tell the police and the neighbours before anyone sees one.",
        ],
        source: PRACTICE,
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hazards_are_in_order_and_each_says_something() {
        assert!(USUAL.is_sorted_by_key(|usual| usual.word));
        assert!(USUAL.iter().all(|usual| !usual.says.is_empty() && !usual.title.is_empty()));
        assert_eq!(usual("lava"), OTHER);
    }

    /// Regulation (EU) 2019/947, UAS.OPEN.010 (2), and 14 CFR 107.51 (b); Directive
    /// 2003/88/EC, Art. 3 and 4; RNLI: cold water is below 15 °C; IATA's leaflet of 2018;
    /// IEC 60529 by a maker's sheet; UK Highway Code; Network Rail's conditions of filming.
    #[test]
    fn the_numbers_are_those_of_their_sources() {
        for (word, numbers) in [
            ("aircraft", &["120 m", "400 ft"][..]),
            ("fatigue", &["11 hours", "six hours", "20 minutes"]),
            ("water", &["15 °C", "IPX7 a metre for half an hour"]),
            ("battery", &["100 Wh", "160 Wh", "no more than 20", "two with the airline's consent"]),
            ("traffic", &["30 mph (48 km/h) takes 23 m", "40 mph 36 m"]),
            ("rail", &["3 m from overhead"]),
        ] {
            let usual = usual(word);
            let text = usual.says.concat();
            assert!(numbers.iter().all(|number| text.contains(number)), "{word}: {text}");
            assert_ne!(usual.source, PRACTICE, "{word}");
        }
    }

    /// Every word that the rules of care act on has sentences of its own.
    #[test]
    fn no_hazard_that_a_rule_knows_is_without_its_cautions() {
        for word in crate::rule::care::hazard_words() {
            assert_ne!(usual(word), OTHER, "{word}");
        }
    }
}
