//! The sections of the mounting sheet, and the families of bearings that decide which there are.

/// Sort of bearing: which sections a sheet has, and which fields they ask for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Family {
    /// Four-row tapered: slides on its neck.
    #[default]
    Tapered,
    /// Four-row cylindrical: the inner half is heated onto the neck, the outer half lies in the chock.
    Cylindrical,
    /// Two-row spherical: pushed up on a taper, or heated.
    Spherical,
}

impl Family {
    /// The family of a kind of bearing type; none where no mounting sheet is for it.
    pub fn of(kind: &str) -> Option<Self> {
        match kind {
            "four_row_tapered" => Some(Self::Tapered),
            "four_row_cylindrical" | "four_row_cylindrical_inner" => Some(Self::Cylindrical),
            "two_row_spherical" => Some(Self::Spherical),
            _ => None,
        }
    }

    /// Outer rings that have load zones of their own.
    pub fn outer_rings(self) -> usize {
        match self {
            Self::Tapered => 3,
            Self::Cylindrical => 4,
            Self::Spherical => 1,
        }
    }

    /// Rows that get grease.
    pub fn rows(self) -> usize {
        if self == Self::Spherical { 2 } else { 4 }
    }
}

/// The sections in the order of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Section {
    /// Which chock, roll, position.
    Identify,
    /// Size, temperature and cracks of the neck.
    Neck,
    /// What the fit is, and which part is at fault.
    Fit,
    /// How warm the ring has to be, and was.
    Heating,
    /// Gap at the ring faces once cooled.
    Seating,
    /// Parts in order, load zone up.
    Parts,
    /// What play is left.
    Clearance,
    /// Grease and seals.
    Grease,
    /// Cover, shims, bolts.
    Cover,
    /// How it is kept clean until it runs.
    Protect,
    /// Who says so.
    Sign,
}

impl Section {
    /// All sections.
    pub const ALL: [Self; 11] = [
        Self::Identify,
        Self::Neck,
        Self::Fit,
        Self::Heating,
        Self::Seating,
        Self::Parts,
        Self::Clearance,
        Self::Grease,
        Self::Cover,
        Self::Protect,
        Self::Sign,
    ];

    /// Those of a family.
    pub fn of(family: Family) -> Vec<Self> {
        let is_shown = |section: &Self| {
            family != Family::Tapered || !matches!(section, Self::Heating | Self::Seating)
        };
        Self::ALL.into_iter().filter(is_shown).collect()
    }

    /// Its name.
    pub fn title(self) -> &'static str {
        match self {
            Self::Identify => "Identify",
            Self::Neck => "Neck",
            Self::Fit => "Fit",
            Self::Heating => "Heating",
            Self::Seating => "Seating",
            Self::Parts => "Parts",
            Self::Clearance => "Clearance",
            Self::Grease => "Grease, seals",
            Self::Cover => "Cover",
            Self::Protect => "Protection",
            Self::Sign => "Sign",
        }
    }

    /// What is done in it, in a few words.
    pub fn about(self, family: Family) -> &'static str {
        match (self, family) {
            (Self::Identify, _) => "scan or type: chock, roll, position",
            (Self::Neck, _) => "sizes as the gauge shows them, planes from the barrel",
            (Self::Fit, _) => "bore of the ring, two-point sizes",
            (Self::Heating, _) => "ring and neck, with a contact thermometer",
            (Self::Seating, _) => "feeler at the ring faces, once cooled",
            (Self::Parts, _) => "in the order in which they went in",
            (Self::Clearance, Family::Tapered) => "end play as mounted",
            (Self::Clearance, _) => "radial play by feeler, as mounted",
            (Self::Grease, _) => "by weight",
            (Self::Cover, _) => "gap at four places, shims, bolts",
            (Self::Protect, _) => "until it goes into the mill",
            (Self::Sign, _) => "",
        }
    }
}
