//! What the fields with a few words may say: the word in the file, and the words for people.

use calc::disposition::Disposition;
use calc::finding::{MODES, Part, SEVERITY};

/// A list of words of which one is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choice {
    /// Yes, or nothing.
    Yes,
    /// Whether anything was found.
    Nothing,
    /// State of the neck seal.
    Seal,
    /// State of the grease.
    GreaseFound,
    /// Water inside.
    Water,
    /// How the bearing turns by hand.
    Rotation,
    /// Cover bolts.
    Bolts,
    /// Metal in the grease.
    Chips,
    /// Whether the bearing has run.
    Used,
    /// What it is washed with. Not on the list is not allowed: what leaves a residue spoils grease and measurement.
    Agent,
    /// How it is dried.
    Dried,
    /// What protects it after washing.
    Preservative,
    /// From where angles are read.
    Side,
    /// How rings were looked at for cracks, and what came of it.
    CrackTest,
    /// Part of the bearing.
    Part,
    /// Row from the barrel.
    Row,
    /// Mode of damage.
    Mode,
    /// Severity.
    Severity,
    /// How a radial clearance is read.
    RadialMethod,
    /// How the inner half of a cylindrical bearing sits on its neck.
    InnerHalf,
    /// What is done with the bearing.
    Disposition,
    /// How a ring is heated.
    HeatedBy,
    /// State of a new seal's lip.
    Lip,
    /// How cover bolts are tightened.
    MountPattern,
    /// What keeps a mounted chock clean.
    MountCover,
    /// What comes of a mounting sheet.
    MountOutcome,
    /// How the clearance was measured.
    Bench,
    /// What was done with the seals.
    Seals,
    /// Whether the parts stand in the order of their marks.
    Marks,
    /// Whether all outer rings have the same zone up.
    Rings,
    /// What covers the open bearing until the chock is closed. Plastic foil is not on the list: it sweats.
    Protection,
    /// How the bolts were tightened.
    Pattern,
}

impl Choice {
    /// Word in the file and words for people, in the order of the list. All but modes and severities: common practice,
    /// no source.
    pub fn words(self) -> Vec<(&'static str, &'static str)> {
        let list: &[(&str, &str)] = match self {
            Self::Yes => &[("yes", "yes")],
            Self::Nothing => &[("yes", "nothing found"), ("no", "something")],
            Self::Seal => &[
                ("sound", "sound"),
                ("worn", "worn"),
                ("cut", "cut or torn"),
                ("folded", "lip folded"),
                ("missing", "missing"),
            ],
            Self::GreaseFound => &[
                ("normal", "normal"),
                ("milky", "milky"),
                ("dark", "black or hard"),
                ("little", "little left"),
                ("washed_out", "washed out"),
            ],
            Self::Water => &[
                ("none", "none"),
                ("drops", "drops"),
                ("standing", "standing water"),
            ],
            Self::Rotation => &[
                ("free", "freely"),
                ("stiff", "stiffly"),
                ("noisy", "with noise"),
                ("seized", "not at all"),
            ],
            Self::Bolts => &[
                ("tight", "all tight"),
                ("loose", "some loose"),
                ("missing", "some missing"),
            ],
            Self::Chips => &[("none", "none"), ("fine", "fine"), ("chips", "chips")],
            Self::Used => &[("used", "has run"), ("new", "new: not washed")],
            Self::Agent => &[
                ("solvent", "solvent without residue"),
                ("aqueous", "water-based cleaner"),
                ("hot_dip", "hot dip"),
            ],
            Self::Dried => &[
                ("air", "by clean, dry air"),
                ("warm", "by warmth"),
                ("wiped", "wiped, lint-free"),
            ],
            Self::Preservative => &[("oil", "preserving oil"), ("grease", "grease")],
            Self::Side => &[("outboard", "outboard"), ("inboard", "inboard")],
            Self::CrackTest => &[
                ("dye_clear", "dye: clear"),
                ("dye_crack", "dye: crack"),
                ("magnetic_clear", "magnetic: clear"),
                ("magnetic_crack", "magnetic: crack"),
                ("eye_only", "by eye only"),
            ],
            Self::RadialMethod => &[
                ("diameters", "raceway and rollers"),
                ("feeler", "feeler"),
                ("thin_ring", "feeler, thin ring"),
            ],
            Self::InnerHalf => &[
                ("tight", "tight"),
                ("turned", "has turned"),
                ("off", "off the neck"),
            ],
            Self::Row => &[
                ("1", "1"),
                ("2", "2"),
                ("3", "3"),
                ("4", "4"),
                ("all", "all"),
            ],
            Self::Bench => &[
                ("bench", "bench, no spacers"),
                ("assembled", "assembled, dial"),
                ("mounted", "mounted, dial"),
            ],
            Self::Seals => &[
                ("changed", "changed"),
                ("kept", "kept"),
                ("none", "has none"),
            ],
            Self::Marks => &[
                ("as_marked", "read back: as marked"),
                ("not", "not as marked"),
            ],
            Self::Rings => &[("alike", "all alike"), ("other", "not alike")],
            Self::Protection => &[
                ("textile", "clean textile"),
                ("closed", "closed at once"),
                ("lid", "lid of the shop"),
            ],
            Self::Pattern => &[("crosswise", "crosswise in steps"), ("other", "otherwise")],
            Self::Part => return Part::ALL.map(|p| (p.words(), p.words())).into(),
            Self::Mode => return MODES.map(|m| (m.code, m.name)).into(),
            Self::Severity => return ["0", "1", "2", "3"].into_iter().zip(SEVERITY).collect(),
            Self::HeatedBy => &[
                ("induction", "induction"),
                ("oven", "oven"),
                ("oil_bath", "oil bath"),
                ("cold", "not heated"),
            ],
            Self::Lip => &[("sound", "sound"), ("cut", "cut"), ("folded", "folded")],
            Self::MountPattern => &[
                ("crosswise_steps", "crosswise, in steps"),
                ("circle_steps", "round, in steps"),
                ("at_once", "at once"),
            ],
            Self::MountCover => &[
                ("textile", "clean textile"),
                ("paper", "oiled paper"),
                ("cover", "its own cover"),
                ("foil", "plastic foil"),
            ],
            Self::MountOutcome => &[("mounted", "mounted"), ("not_mounted", "not mounted")],
            Self::Disposition => {
                return Disposition::ALL.map(|d| (d.as_str(), d.words())).into();
            }
        };
        list.to_vec()
    }

    /// The words for people that a word in the file stands for.
    pub fn shown(self, word: &str) -> Option<&'static str> {
        let mut all = self.words().into_iter();
        all.find(|(name, _)| *name == word).map(|(_, words)| words)
    }
}
