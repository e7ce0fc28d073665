//! Beats, plates, effects, joins, assets and sound.

use super::{
    AssetId, BeatId, EffectId, Hold, Light, LookId, MarkId, ModeId, Named, PersonId, PlaceId, PlateId,
    PropId, RigId, ScreenId,
};
use crate::quantity::{Angle, Hours, Length, Seconds, Share, Speed, TimeSpan, TurnRate};
use crate::source::{Span, Spanned};

/// A step of the story.
#[derive(Debug, Clone)]
pub struct Beat {
    /// Name, title, notes.
    pub named: Named,
    /// What happens.
    pub story: Option<String>,
    /// Length in the picture.
    pub runs: Option<Spanned<Seconds>>,
    /// State changes that happen in it.
    pub turns: Vec<Turn>,
    /// What comes first at the desk: 1 to 5.
    pub priority: Option<Spanned<u32>>,
    /// What must be done before.
    pub needs: Vec<Need>,
    /// Its plates as written, in order.
    pub plates: Vec<PlateId>,
    /// Its effects, in order.
    pub effects: Vec<EffectId>,
}

/// What the writer says of one pass at the desk, whichever recipe makes it.
#[derive(Debug, Clone)]
pub struct PassSetting {
    /// The path as written, `->` between both sides of a join; notes, waivers.
    pub named: Named,
    /// The beat in which it stands.
    pub beat: Option<String>,
    /// Work.
    pub effort: Option<Spanned<Hours>>,
    /// Time that machines then take.
    pub render: Option<Spanned<Hours>>,
    /// Time until it was looked at and agreed.
    pub review: Option<Spanned<(Hours, Pace)>>,
    /// What comes first: 1 to 5.
    pub priority: Option<Spanned<u32>>,
}

/// In which time hours are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Pace {
    /// Hours in which anybody at the desk works.
    #[default]
    Worked,
    /// Hours of the clock.
    Elapsed,
}

/// A dependency as written with `needs`.
#[derive(Debug, Clone)]
pub struct Need {
    /// What it waits for.
    pub on: Target,
    /// The line.
    pub span: Span,
}

/// Something that can be waited for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// Every plate of a beat captured; for desk work, every effect of it finished.
    Beat(BeatId),
    /// Captured.
    Plate(PlateId),
    /// Its last pass done.
    Effect(EffectId),
    /// Built.
    Asset(AssetId),
}

/// Whose state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StateOf {
    /// A prop.
    Prop(PropId),
    /// A look.
    Look(LookId),
}

/// A state that changes from one to another.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    /// Whose.
    pub of: StateOf,
    /// Before; one of its states.
    pub from: String,
    /// After; one of its states.
    pub to: String,
    /// The line.
    pub span: Span,
}

/// What a captured thing is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PlateKind {
    /// Seen in the picture.
    Picture,
    /// Serves an effect: the set-up without its subject.
    Clean,
    /// Serves an effect: the ground behind something.
    Patch,
    /// Serves an effect: shot on a screen to be laid over.
    Element,
    /// A still.
    Still,
    /// A grey and a mirror ball, or a bracketed panorama.
    LightReference,
    /// A grid for the lens's distortion.
    LensReference,
    /// Measured distances.
    Survey,
}

impl PlateKind {
    /// What people call it.
    pub fn word(self) -> &'static str {
        match self {
            PlateKind::Picture => "plate",
            PlateKind::Clean => "clean plate",
            PlateKind::Patch => "patch plate",
            PlateKind::Element => "element",
            PlateKind::Still => "still",
            PlateKind::LightReference => "light reference",
            PlateKind::LensReference => "lens reference",
            PlateKind::Survey => "survey",
        }
    }

    /// Whether it is a moving picture from the camera.
    pub fn is_footage(self) -> bool {
        matches!(self, PlateKind::Picture | PlateKind::Clean | PlateKind::Patch | PlateKind::Element)
    }
}

/// Who asked for a plate.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// The writer.
    Written,
    /// A recipe, because an effect left the role out.
    Owed {
        /// The effect that owes it.
        effect: EffectId,
        /// The role it fills.
        role: String,
        /// The line that caused it.
        because: Span,
    },
}

/// Whether hands are in the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Hands {
    /// Not in the picture.
    Out,
    /// In the picture, kept behind what they carry.
    Behind,
    /// In the picture.
    In,
}

/// A plate begins or ends at a mark.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkUse {
    /// Where.
    pub mark: MarkId,
    /// Speed of the camera there.
    pub speed: Option<Speed>,
    /// Compass direction of travel; the mark's heading unless said.
    pub heading: Option<Angle>,
    /// The line.
    pub span: Span,
}

/// Something that must be captured.
#[derive(Debug, Clone)]
pub struct Plate {
    /// Path `beat.plate`, title, notes, cautions, waivers.
    pub named: Named,
    /// Whose beat.
    pub beat: BeatId,
    /// What it is.
    pub kind: PlateKind,
    /// Who asked for it.
    pub origin: Origin,
    /// Where.
    pub place: PlaceId,
    /// On what.
    pub rig: RigId,
    /// With which camera, set how.
    pub mode: ModeId,
    /// Who performs in it, or wears the rig.
    pub people: Vec<PersonId>,
    /// Who watches; named by the writer.
    pub spotters: Vec<PersonId>,
    /// What lights it: its own, or the place's.
    pub light: Light,
    /// Where the light was written, if it was.
    pub light_span: Option<Span>,
    /// Captured length of one take.
    pub lasts: Spanned<Seconds>,
    /// Length in the picture, where stated.
    pub uses: Option<Spanned<Seconds>>,
    /// Length in the picture after sharing out; 0 for what is not a picture plate.
    pub in_picture: Seconds,
    /// Whether the camera may move.
    pub hold: Spanned<Hold>,
    /// Takes planned; 3 unless said.
    pub takes: u32,
    /// Time between takes; 2 min unless said, or the reset of what they change.
    pub between: Seconds,
    /// How fast the camera turns on purpose.
    pub turns_camera: Option<Spanned<TurnRate>>,
    /// How far the camera rolls.
    pub rolls: Option<Spanned<Angle>>,
    /// How fast the camera travels.
    pub moves: Option<Spanned<Speed>>,
    /// Starts at a mark.
    pub enters: Option<MarkUse>,
    /// Ends at a mark.
    pub leaves: Option<MarkUse>,
    /// Stays at a mark.
    pub mark: Option<MarkId>,
    /// Lens height.
    pub height: Option<Spanned<Length>>,
    /// Compass direction of the view.
    pub heading: Option<Spanned<Angle>>,
    /// Up is positive.
    pub tilt: Option<Spanned<Angle>>,
    /// Nearest thing in view.
    pub near: Option<Spanned<Length>>,
    /// Farthest thing in view.
    pub far: Option<Spanned<Length>>,
    /// Screen behind the subject.
    pub screen: Option<ScreenId>,
    /// From subject to screen.
    pub gap: Option<Spanned<Length>>,
    /// Field swept by the subject in front of the screen: across, down.
    pub sweep: Option<(Angle, Angle)>,
    /// Whether hands are in it.
    pub hands: Spanned<Hands>,
    /// Enlarged at the desk by a reframe; 100 % unless said.
    pub reframe: Share,
    /// Hazards of the action, besides those of place and rig.
    pub hazards: Vec<Spanned<String>>,
    /// States shown: (whose, state, line).
    pub shows: Vec<(StateOf, String, Span)>,
    /// State changes during a take.
    pub turns: Vec<Turn>,
    /// What must be in frame.
    pub must: Vec<String>,
    /// What must stay out of frame.
    pub avoid: Vec<String>,
    /// What must be done before it is shot or used.
    pub needs: Vec<Need>,
    /// Shot later than these, whatever the desk does.
    pub after: Vec<(PlateId, Span)>,
    /// Captured by another camera while this one is; known to be of the same place,
    /// not to roll with a third, and to last no longer.
    pub rolls_with: Option<Spanned<PlateId>>,
    /// The plates that roll with this one.
    pub beside: Vec<PlateId>,
    /// Whether sound is recorded with it.
    pub sound: bool,
}

/// A point of a speed curve.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct SpeedPoint {
    /// When, from the start of the result, as a share of its length.
    pub at: Share,
    /// How fast there; 1 is as captured.
    pub speed: Share,
}

/// A role of a recipe, or one of its quantities, bound by a word of the effect block.
#[derive(Debug, Clone)]
pub struct Binding {
    /// The word.
    pub word: Spanned<String>,
    /// Plates, where the values were names of plates.
    pub plates: Vec<Spanned<PlateId>>,
    /// The number or quantity in base units, where the value was one.
    pub amount: Option<Spanned<Amount>>,
    /// The whole statement.
    pub span: Span,
}

/// A bare quantity with its dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Amount {
    /// In base units of the dimension.
    pub value: f64,
    /// What it measures.
    pub dimension: crate::quantity::unit::Dimension,
}

/// An effort that the writer sets instead of the recipe's.
#[derive(Debug, Clone)]
pub struct EffortOverride {
    /// The pass.
    pub pass: Spanned<String>,
    /// Hours.
    pub hours: Hours,
}

/// An effect made by a recipe.
#[derive(Debug, Clone)]
pub struct Effect {
    /// Path `beat.effect`.
    pub named: Named,
    /// Whose beat.
    pub beat: BeatId,
    /// The recipe's name; whether it exists is checked when recipes are expanded.
    pub recipe: Spanned<String>,
    /// Roles and quantities bound by words of the block.
    pub bindings: Vec<Binding>,
    /// Objects that move.
    pub objects: Vec<Spanned<String>>,
    /// Speed: two points for a range, more for a curve; empty when not said.
    pub speed: Vec<SpeedPoint>,
    /// Where the speed was written.
    pub speed_span: Option<Span>,
    /// Field swept by hands.
    pub sweep: Option<Spanned<(Angle, Angle)>>,
    /// The screen.
    pub screen: Option<Spanned<ScreenId>>,
    /// Hands to screen.
    pub gap: Option<Spanned<Length>>,
    /// Assets it puts into the picture.
    pub assets: Vec<Spanned<AssetId>>,
    /// Length in the picture, where it is less than its plate's.
    pub seconds: Option<Spanned<Seconds>>,
    /// Efforts set by the writer.
    pub efforts: Vec<EffortOverride>,
    /// What must be done before.
    pub needs: Vec<Need>,
}

impl Effect {
    /// The plate whose speed it changes: the first one that it is bound to; `None`
    /// where it changes none.
    pub fn retimes(&self) -> Option<PlateId> {
        let first = self.bindings.iter().flat_map(|binding| &binding.plates).next()?;
        (!self.speed.is_empty()).then_some(first.value)
    }

    /// Whether each object runs at its own speed within the range, so that any of
    /// them may run at the fastest; else the points are one curve.
    pub fn each_its_own_speed(&self) -> bool {
        !self.objects.is_empty() && self.speed.len() == 2
    }
}

/// How two plates become one look.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum JoinKind {
    /// Same mark, overlapped and warped.
    Stitch,
    /// Same shape or movement on both sides.
    Match,
    /// Something fills the frame.
    Wipe,
    /// The camera turns too fast to see.
    Whip,
    /// One fades into the other.
    Dissolve,
}

impl JoinKind {
    /// As written; also the recipe's name.
    pub fn word(self) -> &'static str {
        match self {
            JoinKind::Stitch => "stitch",
            JoinKind::Match => "match",
            JoinKind::Wipe => "wipe",
            JoinKind::Whip => "whip",
            JoinKind::Dissolve => "dissolve",
        }
    }
}

/// A join of two plates.
#[derive(Debug, Clone)]
pub struct Join {
    /// Path `leap.swoop->leap.land`.
    pub named: Named,
    /// Outgoing.
    pub from: PlateId,
    /// Incoming.
    pub to: PlateId,
    /// How.
    pub kind: JoinKind,
    /// How long both are seen; zero unless said.
    pub overlap: TimeSpan,
    /// Where the overlap was written.
    pub overlap_span: Option<Span>,
    /// The mark both name, if both name the same one.
    pub mark: Option<MarkId>,
    /// Allowance set by the writer, in pixels of the picture.
    pub allow: Option<Spanned<crate::quantity::Pixels>>,
    /// Efforts set by the writer.
    pub efforts: Vec<EffortOverride>,
    /// The statement's head.
    pub span: Span,
}

/// A thing that is built at the desk.
#[derive(Debug, Clone)]
pub struct Asset {
    /// Name and notes.
    pub named: Named,
    /// Effort to build.
    pub build: Spanned<Hours>,
    /// Plates whose stills give its texture.
    pub texture: Vec<Spanned<PlateId>>,
    /// Plates whose light references light it.
    pub light: Vec<Spanned<PlateId>>,
    /// What must be done before.
    pub needs: Vec<Need>,
}

/// A layer of sound.
#[derive(Debug, Clone)]
pub struct Layer {
    /// `ambience`, `impacts`, `foley`, `voice`, `music`.
    pub name: Spanned<String>,
    /// Effort, where the writer set it.
    pub effort: Option<Hours>,
}

/// A sound cue.
#[derive(Debug, Clone)]
pub struct Cue {
    /// What is heard.
    pub text: String,
    /// When.
    pub beat: BeatId,
    /// The line.
    pub span: Span,
}

/// Sound of the whole sequence.
#[derive(Debug, Clone, Default)]
pub struct Sound {
    /// Layers; empty when no `sound` block was written.
    pub layers: Vec<Layer>,
    /// Cues.
    pub cues: Vec<Cue>,
    /// The block.
    pub span: Option<Span>,
}
