//! The usual cautions for what can hurt someone.
//!
//! In: the word of a hazard. Out: general-practice sentences, each with its
//! source where it has one; the others are common practice without a source.
//! None of it is legal advice, and no list is complete: [`DEFERENCE`] goes with
//! every use.

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
    /// Where the numbers in it come from; empty for common practice.
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
        "cars" | "road" | "vehicle" => "traffic",
        "current" | "deep_water" | "sea" => "water",
        "dark" => "night",
        "train" | "trains" => "rail",
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
    source: "",
};

/// Every hazard that has sentences of its own, by word.
pub const USUAL: &[Usual] = &[
    Usual {
        word: "aircraft",
        title: "Aircraft and drones",
        says: &[
            "Nobody stands, walks or sits under the aircraft; agree where it goes if the link or a motor fails.",
            "The pilot only flies; a second person watches the aircraft and the sky, and speaks up.",
            "Check the rule where you are: in the EU the open category keeps within 120 m of the nearest point of the surface, in sight, and apart from people who are not involved.",
            "Check registration, insurance, airspace and the land owner's consent before the day; check wind, propellers and packs before each flight.",
            "Land with a reserve; do not use the last minutes of a pack for one more take.",
        ],
        source: "Regulation (EU) 2019/947, UAS.OPEN.010 (120 m); elsewhere other limits hold",
    },
    Usual {
        word: "animals",
        title: "Animals",
        says: &[
            "The handler decides what the animal does and when it rests.",
            "Keep rigs, noise and lights away until the handler has let the animal see them.",
        ],
        source: "",
    },
    Usual {
        word: "battery",
        title: "Batteries",
        says: &[
            "Do not charge, fly or carry a pack that is swollen, dented, wet or hot; put it outside, away from anything that burns.",
            "Charge on something that does not burn, with someone in the room; let packs cool before charging and warm up before use.",
            "Cover the contacts of loose packs; in cold, keep them in an inner pocket: they give less and drop without warning.",
        ],
        source: "",
    },
    Usual {
        word: "cold",
        title: "Cold",
        says: &[
            "Plan warming between takes; wet clothes come off at once; hot drinks and a dry set of clothes stay at the set-up.",
            "Watch each other for shivering that stops, slurred words and clumsiness: that is an emergency.",
            "Cold fingers drop things: tether cameras and tools over people, water and edges.",
        ],
        source: "",
    },
    Usual {
        word: "crowd",
        title: "Other people nearby",
        says: &[
            "Keep a person at each way in who only turns people back; stop when someone walks in.",
            "Leave pavements and exits passable; ask for the owner's or the town's consent before the day.",
        ],
        source: "",
    },
    Usual {
        word: "edge",
        title: "Unguarded edge",
        says: &[
            "Mark a line well back from the edge; nobody crosses it looking through a screen or walking backwards.",
            "Whoever wears a camera or cannot see their feet has a spotter at arm's length who watches only them.",
            "When there is a way to shoot it away from the edge, shoot it there and put the edge in at the desk.",
        ],
        source: "",
    },
    Usual {
        word: "electricity",
        title: "Electricity",
        says: &[
            "Outdoors and near water use protected outlets (residual current device) and cables made for outdoors.",
            "Keep poles, cables and cranes away from overhead lines; a distance to a line is the operator's to give.",
        ],
        source: "",
    },
    Usual {
        word: "fall",
        title: "Jumps, falls and pulled bodies",
        says: &[
            "Rehearse slowly, padded, from the lowest height that tells the story; raise only when it is dull.",
            "Check the landing for hard, sharp and slippery things before each take; only the performer counts in.",
            "Anything beyond an ordinary jump on flat ground belongs to a stunt coordinator.",
        ],
        source: "",
    },
    Usual {
        word: "fatigue",
        title: "Long hours",
        says: &[
            "Tired people fall and crash: put what is dangerous early in the day, and nobody drives home drowsy.",
            "Check the rest between wrap and next call: 11 hours in 24 is the daily rest of EU working-time law.",
        ],
        source: "Directive 2003/88/EC, Art. 3 (11 h daily rest)",
    },
    Usual {
        word: "fire",
        title: "Fire",
        says: &[
            "Open flame needs consent, a person who only watches it, and the right extinguisher within reach and checked.",
            "Pyrotechnics are for licensed people only.",
        ],
        source: "",
    },
    Usual {
        word: "glass",
        title: "Glass and breaking things",
        says: &[
            "Use breakaway material; eye protection for everyone near; sweep between takes before anyone kneels or goes barefoot.",
        ],
        source: "",
    },
    Usual {
        word: "heat",
        title: "Heat",
        says: &[
            "Shade, water and salt at the set-up; rest in the shade between takes; watch for dizziness and confusion.",
            "Cameras stop when hot: keep them in the shade, off, between takes.",
        ],
        source: "",
    },
    Usual {
        word: "height",
        title: "Work at height",
        says: &[
            "First avoid it, then prevent the fall, then lessen what a fall does.",
            "Nobody works above others; everything carried up is tethered.",
            "Ropes, harnesses and platforms are set and checked by someone trained for them.",
        ],
        source: "order of measures: UK Work at Height Regulations 2005, HSE INDG401",
    },
    Usual {
        word: "night",
        title: "Dark",
        says: &[
            "Walk the ground in daylight first; light the ways, the edges and the steps; a lamp for everyone.",
            "Count people at every move; nobody goes off alone.",
        ],
        source: "",
    },
    Usual {
        word: "overhead",
        title: "Rig or load overhead",
        says: &[
            "Nobody passes or waits under the line, the rig or the load; keep the ground under it roped off.",
            "Every camera and clamp has a second fastening; check anchors, line and tether before each run.",
            "Test the run with a dummy weight before a camera or a person goes with it.",
        ],
        source: "",
    },
    Usual {
        word: "rail",
        title: "Railway",
        says: &[
            "Nobody goes on or beside a track without the railway's consent and its own person on site.",
            "Never assume that a track is not in use or which way a train comes; electric lines kill without contact.",
            "On platforms stay behind the line, no flash, no tripod legs past it.",
        ],
        source: "Network Rail, guidance for filming at stations (line, flash, tripods)",
    },
    Usual {
        word: "smoke",
        title: "Smoke and dust",
        says: &["Tell fire alarms' owners; air the room between takes; people with asthma stay out."],
        source: "",
    },
    Usual {
        word: "traffic",
        title: "Traffic",
        says: &[
            "Nobody shoots on a road that is open to traffic; a closed road is closed by those who may close it.",
            "Whoever watches traffic does only that, at each end, with a signal that everyone knows.",
            "A person who wears a camera, walks backwards or looks at a screen is blind: a spotter leads them.",
            "Nothing is attached to a moving vehicle, and nobody leans out of one, without people licensed for it.",
        ],
        source: "",
    },
    Usual {
        word: "water",
        title: "Water",
        says: &[
            "Nobody is alone in, on or beside moving water; a named rescuer with a throw line stands downstream and does nothing else.",
            "Check depth, bottom, current, tide, quality and the way out before the day, and again before the first take.",
            "Water below 15 °C takes the breath away for a minute or more: float first, then swim; buoyancy aid on.",
            "Worn rigs must come off with one hand; nothing ties a person to a rig.",
        ],
        source: "RNLI, cold water shock (below 15 °C; float to live)",
    },
    Usual {
        word: "weapon",
        title: "Weapons and replicas",
        says: &[
            "Only dummies that cannot fire; one person keeps them; tell the police and the neighbours before anyone sees one.",
        ],
        source: "",
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

    /// Regulation (EU) 2019/947, UAS.OPEN.010 (2); Directive 2003/88/EC, Art. 3;
    /// RNLI: cold water is below 15 °C.
    #[test]
    fn the_numbers_are_those_of_their_sources() {
        assert!(usual("aircraft").says.concat().contains("120 m"));
        assert!(usual("fatigue").says.concat().contains("11 hours"));
        assert!(usual("water").says.concat().contains("15 °C"));
    }
}
